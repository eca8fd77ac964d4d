/**
 * When the contact times that run here are over. It lies in the open, so that a locked phone can show it, also after a
 * reload: moments, and nothing of what lies in the disinfectant.
 */
import { type Readable, writable } from "svelte/store";

import type { Instant } from "../wire/types";
import type { ContactTimesApi } from "./api";
import { putMeta, readMeta, writeUnderKey } from "./db";
import type { Phone } from "./phone";

export class ContactTimes implements ContactTimesApi {
  readonly #phone: Phone;
  readonly #ends = writable<readonly Instant[]>([]);
  readonly subscribe: Readable<readonly Instant[]>["subscribe"] = this.#ends.subscribe;
  #held: readonly Instant[] = [];

  constructor(phone: Phone) {
    this.#phone = phone;
  }

  /** As they lie on disk. */
  async read(): Promise<void> {
    this.#hold((await readMeta(this.#phone.db, "contact_times")) ?? []);
  }

  async keep(ends: readonly Instant[]): Promise<void> {
    const sorted = ends.toSorted();
    if (String(sorted) === String(this.#held)) return;
    this.#hold(sorted);
    await this.#write(sorted).catch(this.#phone.report);
    this.#phone.tellTabs("contact_times");
  }

  async #write(ends: readonly Instant[]): Promise<void> {
    await writeUnderKey(this.#phone.db, this.#phone.lock.held(), ["meta"], async (tx) => {
      if (ends.length > 0) await putMeta(tx, "contact_times", ends);
      else await tx.objectStore("meta").delete("contact_times");
    });
  }

  #hold(ends: readonly Instant[]): void {
    this.#held = ends;
    this.#ends.set(ends);
  }
}
