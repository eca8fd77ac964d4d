/** What is half written on a screen, sealed. A draft is on disk within half a second of the last key. */
import type { Id } from "../wire/types";
import type { DraftsApi } from "./api";
import { type HeldKey, type StoredDraft, writeStrictly, writeUnderKey } from "./db";
import type { Phone } from "./phone";
import { open, seal, type SealedAt } from "./seal";

const QUIET_MILLISECONDS = 400;

export class Drafts implements DraftsApi {
  readonly #phone: Phone;
  readonly #unwritten = new Map<string, unknown>();
  #typedBy: Id | null = null;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #writing: Promise<void> = Promise.resolve();

  constructor(phone: Phone) {
    this.#phone = phone;
  }

  async load(key: string): Promise<unknown> {
    if (this.#unwritten.has(key)) return structuredClone(this.#unwritten.get(key));
    await this.#written();
    const stored = await this.#phone.db.get("drafts", key);
    return stored === undefined ? null : openDraft(this.#phone.lock.keyToShow(), stored);
  }

  save(key: string, value: unknown): void {
    // As it is now: the screen goes on changing its own copy.
    this.#unwritten.set(key, JSON.parse(JSON.stringify(value)));
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.flush().catch(this.#phone.report), QUIET_MILLISECONDS);
  }

  async drop(key: string): Promise<void> {
    this.#unwritten.delete(key);
    await this.#written();
    await writeStrictly(this.#phone.db, ["drafts"], (tx) => tx.objectStore("drafts").delete(key));
  }

  async keys(): Promise<string[]> {
    await this.#written();
    const written = await this.#phone.db.getAllKeys("drafts");
    return [...new Set([...written, ...this.#unwritten.keys()])].sort();
  }

  /** What could not be written waits for who typed it, and for nobody else. */
  openedBy(staff: Id): void {
    if (staff !== this.#typedBy) this.forget();
    this.#typedBy = staff;
  }

  /** What is not written yet is gone. */
  forget(): void {
    this.#unwritten.clear();
    this.#writing = this.#written();
  }

  /** Takes the key at once, so that a lock that follows does not stop the writing. */
  async flush(): Promise<void> {
    if (this.#unwritten.size > 0) {
      const held = this.#phone.lock.held();
      this.#writing = this.#written().then(() => this.#write(held));
    }
    await this.#writing;
  }

  /** A draft that could not be written stays in memory, for the next save, flush or unlock. */
  #written(): Promise<void> {
    return this.#writing.catch(() => undefined);
  }

  async #write(held: HeldKey): Promise<void> {
    const taken = [...this.#unwritten];
    const boxes = await Promise.all(
      taken.map(async ([name, value]) => ({
        key: name,
        ...(await seal(held.key, place(name), value)),
      })),
    );
    const still = boxes.filter(({ key: name }) => this.#unwritten.has(name));
    await writeUnderKey(this.#phone.db, held, ["drafts"], async (tx) => {
      for (const box of still) await tx.objectStore("drafts").put(box);
    });
    for (const [name, value] of taken) {
      if (this.#unwritten.get(name) === value) this.#unwritten.delete(name);
    }
  }
}

/** Those that open. */
export async function resealDrafts(
  from: CryptoKey,
  to: CryptoKey,
  drafts: readonly StoredDraft[],
): Promise<StoredDraft[]> {
  const resealed: StoredDraft[] = [];
  for (const draft of drafts) {
    const value = await openDraft(from, draft).catch(() => undefined);
    if (value === undefined) continue;
    resealed.push({ key: draft.key, ...(await seal(to, place(draft.key), value)) });
  }
  return resealed;
}

export function openDraft(key: CryptoKey, draft: StoredDraft): Promise<unknown> {
  return open(key, place(draft.key), draft);
}

function place(key: string): SealedAt {
  return ["drafts", key];
}
