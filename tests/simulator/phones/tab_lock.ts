/** Web Locks among the tabs of a phone: one has it, and the others wait until it is done or closed. */
import type { Page } from "./ground";

/** What a dead page waits for. */
export function forEver<T>(): Promise<T> {
  return new Promise(() => undefined);
}

export class TabLock {
  #holder: Page | null = null;
  readonly #waiting: { page: Page; granted: () => void }[] = [];

  async alone<T>(
    page: Page,
    work: () => Promise<T>,
    waiting: () => void,
  ): Promise<T> {
    if (!page.alive) return forEver();
    if (this.#holder !== null) {
      waiting();
      await new Promise<void>((granted) =>
        this.#waiting.push({ page, granted }),
      );
    }
    this.#holder = page;
    try {
      return await work();
    } finally {
      this.release(page);
    }
  }

  /** Also for a page that has died. */
  release(page: Page): void {
    if (this.#holder !== page) return;
    let next = this.#waiting.shift();
    while (next?.page.alive === false) next = this.#waiting.shift();
    this.#holder = next?.page ?? null;
    if (next !== undefined)
      next.page.phone.tasks.push({ page: next.page, run: next.granted });
  }
}
