/** What is wrong with the phone's storage, and what is tried before anybody is told. */
import { get, type Readable, writable } from "svelte/store";

import type { FaultCode } from "./api";
import { type Connection, isLost } from "./connection";
import { faultOf } from "./fault";

export class Mending {
  readonly #trouble = writable<FaultCode | null>(null);
  readonly trouble: Readable<FaultCode | null> = { subscribe: this.#trouble.subscribe };
  readonly #connection: Connection;
  readonly #reopened: () => Promise<void>;
  /** Opened again since the last tick: a second time so soon is of no use. */
  #tried = false;

  /** `reopened` goes on with what waited; what it throws is the trouble. */
  constructor(connection: Connection, reopened: () => Promise<void>) {
    this.#connection = connection;
    this.#reopened = reopened;
  }

  report(cause: unknown): void {
    const code = faultOf(cause);
    if (isLost(cause)) void this.reopen();
    // What waits for an unlock is not lost and not in trouble.
    else if (code !== "locked") this.#trouble.set(code);
  }

  async reopen(): Promise<void> {
    if (this.#tried) {
      this.#trouble.set("storage_broken");
      return;
    }
    this.#tried = true;
    try {
      await this.#connection.open();
      await this.#reopened();
      this.over("storage_broken");
    } catch (cause) {
      this.#trouble.set(faultOf(cause));
    }
  }

  tick(): void {
    this.#tried = false;
    if (get(this.#trouble) === "storage_broken") void this.reopen();
  }

  over(...codes: readonly FaultCode[]): void {
    this.#trouble.update((now) => (now !== null && codes.includes(now) ? null : now));
  }
}
