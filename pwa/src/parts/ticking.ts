/** The present moment for the screen, renewed while something on screen reads it. */
import { createSubscriber } from "svelte/reactivity";

const SECOND_MS = 1000;

export function ticking(every = SECOND_MS): () => Date {
  const follow = createSubscriber((update) => {
    const timer = setInterval(update, every);
    // Timers sleep in a hidden page, so the first look back must not wait for the next tick.
    document.addEventListener("visibilitychange", update);
    return () => {
      clearInterval(timer);
      document.removeEventListener("visibilitychange", update);
    };
  });
  return () => {
    follow();
    return new Date();
  };
}
