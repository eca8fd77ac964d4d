/**
 * Keeps a client's answers on their own phone until the practice has them: sealed under a key that the browser
 * does not give out, apart for each link. Where the browser keeps nothing, they stay in memory, and `safe` says so.
 */
import { type DBSchema, deleteDB, type IDBPDatabase, openDB } from "idb";

import { type Box, open, seal } from "../store/seal";

/** phone: this phone's secret. sheet: what is asked. form: answered so far. done: what is being sent. */
export type Part = "phone" | "sheet" | "form" | "done";

interface Kept extends Box {
  link: string;
  part: Part;
  /** Milliseconds since 1970. */
  at: number;
}

interface Layout extends DBSchema {
  keys: { key: string; value: CryptoKey };
  kept: { key: [string, Part]; value: Kept };
}
type Database = IDBPDatabase<Layout>;

const NAME = "heelwright-signing";
const KEY = "key";
/** The server takes no answer to a link that is older; nobody needs what is kept of it. */
const LONGEST_MS = 8 * 24 * 3600 * 1000;

export class Keep {
  readonly #link: string;
  readonly #now: () => number;
  readonly #memory = new Map<Part, unknown>();
  #opened: Promise<{ db: Database; key: CryptoKey }> | null = null;
  #writing: Promise<unknown> = Promise.resolve();
  #safe = true;

  /** `link` tells one link from another and opens nothing. */
  constructor(link: string, now: () => number) {
    this.#link = link;
    this.#now = now;
  }

  /** Everything so far is on disk. */
  get safe(): boolean {
    return this.#safe;
  }

  async read(part: Part): Promise<unknown> {
    if (this.#memory.has(part)) return this.#memory.get(part);
    return (await this.#onDisk(() => this.#read(part))) ?? null;
  }

  /** One after another, so that the last one stands. */
  write(part: Part, value: unknown): Promise<void> {
    this.#memory.set(part, value);
    const write = () => this.#onDisk(() => this.#write(part, value, "put"));
    const written = this.#writing.then(write).then(() => undefined);
    this.#writing = written;
    return written;
  }

  /** What stands from then on: `value`, or what was there before it, from another page of this phone too. */
  async once(part: Part, value: unknown): Promise<unknown> {
    if (this.#memory.has(part)) return this.#memory.get(part);
    const before = await this.#onDisk(async () => {
      if (await this.#write(part, value, "add")) return value;
      return this.#read(part);
    });
    const stands = before ?? value;
    this.#memory.set(part, stands);
    return stands;
  }

  /** Nothing of this link stays, and nothing at all where there was no other. */
  async clear(): Promise<void> {
    this.#memory.clear();
    await this.#writing;
    await this.#onDisk(async () => {
      await this.#remove(({ link }) => link === this.#link);
      const { db } = await this.#open();
      if ((await db.count("kept")) > 0) return;
      await db.clear("keys");
      this.#opened = null;
      db.close();
      // Nothing is in it any more; another page may hold it open for a while.
      void deleteDB(NAME).catch(() => undefined);
    });
  }

  /** Takes away what is left of other links that are long over. Of this one the server says whether it is. */
  async tidy(): Promise<void> {
    const old = () => this.#now() - LONGEST_MS;
    await this.#onDisk(() => this.#remove(({ link, at }) => link !== this.#link && at < old()));
  }

  async #onDisk<T>(work: () => Promise<T>): Promise<T | null> {
    try {
      return await work();
    } catch {
      // A private window, no room, or cleared by another page: it goes on in memory, and whoever waits is told by `safe`.
      this.#safe = false;
      return null;
    }
  }

  async #read(part: Part): Promise<unknown> {
    const { db, key } = await this.#open();
    const kept = await db.get("kept", [this.#link, part]);
    return kept === undefined ? null : open(key, this.#place(part), kept);
  }

  /**
   * False where something stood there and `how` is add. Throws where another page of this phone has finished, and
   * taken away everything of this link, the phone's secret as well: nothing comes after that.
   */
  async #write(part: Part, value: unknown, how: "add" | "put"): Promise<boolean> {
    const { db, key } = await this.#open();
    const box = await seal(key, this.#place(part), value);
    const row = { link: this.#link, part, at: this.#now(), ...box };
    const tx = db.transaction("kept", "readwrite", { durability: "strict" });
    if (part !== "phone" && (await tx.store.getKey([this.#link, "phone"])) === undefined) {
      throw new Error("cleared");
    }
    const free = how === "put" || (await tx.store.getKey([this.#link, part])) === undefined;
    if (free) await tx.store.put(row);
    await tx.done;
    return free;
  }

  async #remove(which: (kept: Kept) => boolean): Promise<void> {
    const { db } = await this.#open();
    const tx = db.transaction("kept", "readwrite", { durability: "strict" });
    for (const kept of await tx.store.getAll()) {
      if (which(kept)) await tx.store.delete([kept.link, kept.part]);
    }
    await tx.done;
  }

  #place(part: Part): [string, string, string] {
    return ["signing", this.#link, part];
  }

  #open(): Promise<{ db: Database; key: CryptoKey }> {
    this.#opened ??= openKept();
    return this.#opened;
  }
}

async function openKept(): Promise<{ db: Database; key: CryptoKey }> {
  const db = await openDB<Layout>(NAME, 1, {
    upgrade(fresh) {
      fresh.createObjectStore("keys");
      fresh.createObjectStore("kept", { keyPath: ["link", "part"] });
    },
    // Another page of this phone has done its work and takes everything away.
    blocking(_from, _to, event) {
      (event.target as IDBDatabase).close();
    },
  });
  return { db, key: await keyOf(db) };
}

/** Two pages that come at once have one key. */
async function keyOf(db: Database): Promise<CryptoKey> {
  const held = await db.get("keys", KEY);
  if (held !== undefined) return held;
  const params = { name: "AES-GCM", length: 256 };
  const made = await crypto.subtle.generateKey(params, false, ["encrypt", "decrypt"]);
  const tx = db.transaction("keys", "readwrite", { durability: "strict" });
  const first = await tx.store.get(KEY);
  if (first === undefined) await tx.store.put(made, KEY);
  await tx.done;
  return first ?? made;
}
