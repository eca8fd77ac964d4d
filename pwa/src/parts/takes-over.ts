/** The focus goes here where what had it is gone, so that nobody who has no pointer is left nowhere. Elsewhere it stays. */
import { tick } from "svelte";

export function takesOver(element: HTMLElement): void {
  void tick().then(() => {
    if (document.activeElement === document.body) element.focus();
  });
}
