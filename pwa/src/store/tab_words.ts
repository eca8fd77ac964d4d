/**
 * Word to other tabs. Telling takes time, which who waits for "saved" waits too: so of what is said again and
 * again the first is told at once, and the rest once a moment. Whatever else is told at once, in its order.
 */
import type { Word } from "./phone";

const OFTEN: readonly Word[] = ["commands", "rows"];
/** Milliseconds. */
const MOMENT = 250;

export class TabWords {
  readonly #tell: (word: Word) => void;
  readonly #waiting = new Set<Word>();
  #moment: ReturnType<typeof setTimeout> | null = null;

  constructor(tell: (word: Word) => void) {
    this.#tell = tell;
  }

  say(word: Word): void {
    if (OFTEN.includes(word) && this.#moment !== null) {
      this.#waiting.add(word);
      return;
    }
    this.sayWaiting();
    this.#tell(word);
    if (OFTEN.includes(word)) this.#begin();
  }

  /** A page that is put away may be gone before its moment is over. */
  sayWaiting(): void {
    for (const word of this.#waiting) this.#tell(word);
    this.#waiting.clear();
  }

  #begin(): void {
    this.#moment = setTimeout(() => {
      this.#moment = null;
      if (this.#waiting.size === 0) return;
      this.sayWaiting();
      this.#begin();
    }, MOMENT);
  }
}
