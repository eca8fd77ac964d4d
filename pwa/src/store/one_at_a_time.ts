/** Work of which one go runs at a time: a call during a go makes another one follow, also where that one fails. */
export class OneAtATime {
  readonly #go: () => Promise<void>;
  #running: Promise<void> | null = null;
  #again = false;

  constructor(go: () => Promise<void>) {
    this.#go = go;
  }

  /** Ends as the last go does. */
  run(): Promise<void> {
    if (this.#running === null) this.#running = this.#goes();
    else this.#again = true;
    return this.#running;
  }

  /** None follows the one that runs, whatever was asked for until now. */
  noMore(): void {
    this.#again = false;
  }

  async #goes(): Promise<void> {
    try {
      do
        await this.#go().catch((cause: unknown) => {
          if (!this.#again) throw cause;
        });
      while (this.#takeAgain());
    } finally {
      this.#running = null;
    }
  }

  #takeAgain(): boolean {
    const again = this.#again;
    this.#again = false;
    return again;
  }
}
