/** What every part of the store works on: the database, the key, the clock, and word to other tabs. */
import type { Id } from "../wire/types";
import type { Database, HeldKey, Identity } from "./db";
import { Fault } from "./fault";
import type { Lock } from "./lock";
import { type Box, open } from "./seal";

/** What other tabs are told. They read for themselves; no data goes this way. */
export type Word =
  "rows" | "commands" | "in_step" | "identity" | "rulebook" | "locked" | "contact_times";

export interface Phone {
  db: Database;
  lock: Lock;
  now: () => Date;
  newId: () => Id;
  /** Of the rulebook by which the screens judge; empty before the first one is here. */
  rulebookVersion: () => string;
  tellTabs: (word: Word) => void;
  /** What went wrong with nobody waiting for it: shown as the store's `trouble`. */
  report: (cause: unknown) => void;
  /** Runs alone among all tabs. Where another is at it, calls `waiting` and runs when that one ends or is closed. */
  alone: <T>(work: () => Promise<T>, waiting: () => void) => Promise<T>;
}

export const IDENTITY_PLACE = ["meta", "identity"] as const;

export async function readIdentity(db: Database, key: CryptoKey): Promise<Identity> {
  return (await readHolder(db, key)).identity;
}

/** Whose key it is, and its numbers: both of one moment, so that what it opens proves them to be its own. */
export async function readHolder(
  db: Database,
  key: CryptoKey,
): Promise<{ identity: Identity; held: HeldKey }> {
  const meta = db.transaction("meta").store;
  const [box, from] = await Promise.all([meta.get("identity"), meta.get("numbers_from")]);
  if (box === undefined) throw new Fault("not_signed_in");
  const identity = (await open(key, IDENTITY_PLACE, box as Box)) as Identity;
  return { identity, held: { key, numbers_from: (from as number | undefined) ?? 0 } };
}
