/** Asks until there is an answer: again by itself, and at once when something says that it may work now. */
import { type End, heardOf, pauseAfter, type Wait } from "./heard";

export interface Pace {
  /** Resolves after so many milliseconds, or sooner. */
  wait: (milliseconds: number) => Promise<void>;
}

export type Came<T> = { got: T } | { end: End };

/** `waiting` is told why it waits after each try, and how many there were. */
export async function untilHeard<T>(
  ask: () => Promise<T>,
  pace: Pace,
  waiting: (wait: Wait, tries: number) => void,
): Promise<Came<T>> {
  for (let tries = 1; ; tries += 1) {
    try {
      return { got: await ask() };
    } catch (fault) {
      const heard = heardOf(fault);
      if ("end" in heard) return heard;
      waiting(heard.wait, tries);
      await pace.wait(pauseAfter(tries));
    }
  }
}

/** The browser's own pace: a wait ends early with the line back, the page looked at again, or a tap. */
export class BrowserPace implements Pace {
  #wake: () => void = () => undefined;

  constructor() {
    addEventListener("online", this.now);
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") this.now();
    });
  }

  wait = (milliseconds: number): Promise<void> =>
    new Promise((resolve) => {
      const timer = setTimeout(resolve, milliseconds);
      this.#wake = () => {
        clearTimeout(timer);
        resolve();
      };
    });

  now = (): void => {
    this.#wake();
  };
}
