/**
 * The connection to the phone's database. Browsers take it away: after a sleep, under pressure, or for a newer
 * version of the app in another tab. It is opened again here; who is told, and when, is for others to decide.
 */
import { type Database, openDatabase } from "./db";
import { Fault } from "./fault";

export class Connection {
  readonly #name: string;
  readonly #lost: () => void;
  #db: Database | null = null;
  #opening: Promise<void> | null = null;

  /** `lost` is called when the browser says that it has taken the connection. */
  constructor(name: string, lost: () => void) {
    this.#name = name;
    this.#lost = lost;
  }

  get db(): Database {
    if (this.#db !== null) return this.#db;
    throw new Fault("storage_broken", { cause: new DOMException("closed", "InvalidStateError") });
  }

  /** Opens it afresh, whatever there was before. Throws `newer_app_open` or `storage_broken`. */
  open(): Promise<void> {
    this.#opening ??= this.#open().finally(() => (this.#opening = null));
    return this.#opening;
  }

  /** Where the connection turns out to be gone before `work` could begin, opens it and begins once more. */
  async retrying<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (cause) {
      if (!isLost(cause)) throw cause;
      await this.open();
      return work();
    }
  }

  async #open(): Promise<void> {
    this.#db?.close();
    this.#db = null;
    const opened: Database = await openDatabase(this.#name, () => {
      if (this.#db !== opened) return;
      this.#db = null;
      this.#lost();
    }).catch(toldApart);
    this.#db = opened;
  }
}

/** A transaction that was never begun: nothing of it is on disk. Browsers may keep silent until it is tried. */
export function isLost(cause: unknown): boolean {
  return nameOf(cause) === "InvalidStateError";
}

function toldApart(cause: unknown): never {
  throw nameOf(cause) === "VersionError" ? new Fault("newer_app_open", { cause }) : cause;
}

function nameOf(cause: unknown): string | null {
  const inner = cause instanceof Fault ? cause.cause : cause;
  return inner instanceof DOMException ? inner.name : null;
}
