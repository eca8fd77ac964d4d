/**
 * Unsent work under a passphrase that is not this phone's: forgotten here, or brought from another phone in
 * a file. It lies sealed under its own key until its passphrase, or the practice, opens it.
 */
import { type Readable, writable } from "svelte/store";

import { momentOf } from "../domain/ids";
import type { Http } from "../wire/http";
import type { Id, Instant } from "../wire/types";
import type { FaultCode, SetAside, SetAsideApi, UnsentWork, WorkCount } from "./api";
import {
  type Identity,
  readMeta,
  type ReadTx,
  type SettledCommand,
  type StoredAside,
  type Tx,
} from "./db";
import { Fault, faultOf } from "./fault";
import { unwrapRecordKey } from "./passphrase";
import type { Phone } from "./phone";
import { isUnsent } from "./pictures";
import { putBackAside, type Work } from "./put_back";
import { askForKey } from "./recovery";
import { wanted } from "./restored";

export interface AsideHooks {
  identity: () => Identity | null;
  changed: () => Promise<void>;
}

export class AsideWork implements SetAsideApi {
  readonly #phone: Phone;
  readonly #http: Http;
  readonly #hooks: AsideHooks;
  readonly #shown = writable<readonly SetAside[]>([]);
  readonly subscribe: Readable<readonly SetAside[]>["subscribe"] = this.#shown.subscribe;
  /** Why the practice did not open it, and what it did open, until the phone is locked. */
  readonly #faults = new Map<Id, FaultCode>();
  #opened: readonly SetAside[] = [];

  constructor(phone: Phone, http: Http, hooks: AsideHooks) {
    this.#phone = phone;
    this.#http = http;
    this.#hooks = hooks;
  }

  async read(): Promise<void> {
    const stored = await this.#waiting();
    this.#shown.set([...this.#opened, ...stored.map((aside) => this.#shownAs(aside))]);
  }

  async bringBack(id: Id, passphrase: string): Promise<void> {
    await this.#putBack(id, ({ wrapped_key }) => unwrapRecordKey(passphrase, wrapped_key));
  }

  async recover(id: Id): Promise<void> {
    this.#faults.delete(id);
    try {
      const aside = await this.#putBack(id, (stored) => this.#fromPractice(stored));
      if (aside !== undefined) {
        this.#opened = [...this.#opened, { ...this.#shownAs(aside), opened: true }];
      }
    } catch (cause) {
      const code = faultOf(cause);
      this.#faults.set(id, code);
      throw new Fault(code, { cause });
    } finally {
      await this.read();
    }
  }

  /** After a new passphrase was chosen: nobody waits for it, and what went wrong is said beside the work. */
  async recoverAll(): Promise<void> {
    for (const aside of await this.#waiting()) {
      if (aside.wrapped_key.recovery === undefined) continue;
      await this.recover(aside.id).catch(() => undefined);
    }
  }

  forget(): void {
    this.#faults.clear();
    this.#opened = [];
  }

  /** In the order in which it was made: what is put back first is sent first. */
  async #waiting(): Promise<StoredAside[]> {
    const stored = (await this.#phone.db.getAll("set_aside")).filter(isShown);
    return stored.sort((one, other) => lastNumber(one) - lastNumber(other));
  }

  #shownAs(aside: StoredAside): SetAside {
    const { id, set_aside_at, wrapped_key } = aside;
    const recovery_fault = this.#faults.get(id) ?? null;
    const recoverable = wrapped_key.recovery !== undefined;
    return { ...measure(aside), id, set_aside_at, recoverable, recovery_fault, opened: false };
  }

  /** Undefined where another tab was faster. */
  async #putBack(
    id: Id,
    keyOf: (aside: StoredAside) => Promise<CryptoKey>,
  ): Promise<StoredAside | undefined> {
    const aside = await this.#phone.db.get("set_aside", id);
    if (aside !== undefined) {
      const staff = this.#hooks.identity()?.staff.id;
      await putBackAside(this.#phone, aside, await keyOf(aside), staff);
    }
    await this.#hooks.changed();
    return aside;
  }

  async #fromPractice({ wrapped_key: { recovery } }: StoredAside): Promise<CryptoKey> {
    const identity = this.#hooks.identity();
    if (identity === null) throw new Fault("locked");
    if (recovery === undefined) throw new Fault("recovery_refused");
    if (recovery.staff !== identity.staff.id) throw new Fault("other_persons_work");
    return askForKey(this.#http, identity, recovery);
  }
}

/** Needs no key: what it counts and the ids lie open. `lost`: the server wants what it had as well. */
export async function unsentWork(phone: Phone, lost: boolean): Promise<UnsentWork> {
  const read = phone.db.transaction(["outbox", "settled", "drafts", "pictures"]);
  const { outbox, ...work } = await readWork(read);
  const again = lost ? (await phone.db.getAll("settled")).filter(isInTheLog) : [];
  const wrapped = await readMeta(phone.db, "wrapped_key");
  const recoverable = wrapped?.recovery !== undefined;
  return { ...measure({ ...work, outbox: [...again, ...outbox] }), recoverable };
}

export function measure({ outbox, refused, drafts, pictures = [] }: Work): WorkCount {
  const made = [...outbox, ...refused].map(({ id }) => momentOf(id).getTime());
  return {
    entries: made.length,
    // That bookings of a client who is away were kept is remembered as a draft, and is no form.
    forms: drafts.filter(({ key }) => !key.startsWith("kept/")).length,
    pictures: pictures.filter(isUnsent).length,
    since: made.length === 0 ? null : new Date(Math.min(...made)).toISOString(),
  };
}

/** Whether something in it waits for a person. */
export function isShown(aside: StoredAside): boolean {
  return !isNothing(measure(aside));
}

/** Whether there is anything in it that anybody could still want. */
export function isOfUse(aside: StoredAside): boolean {
  return isShown(aside) || (aside.settled ?? []).length > 0;
}

/** What came in a file has no number of this phone, and goes last. */
function lastNumber({ outbox, refused, settled }: StoredAside): number {
  if (settled === undefined) return Number.MAX_SAFE_INTEGER;
  return Math.max(0, ...[...outbox, ...refused, ...settled].map(({ number }) => number));
}

export function isNothing({ entries, forms, pictures }: WorkCount): boolean {
  return entries + forms + pictures === 0;
}

/** What would be lost with the key, with what opens it; undefined where there is nothing. */
export async function unsentAside(
  tx: Tx | ReadTx,
  id: Id,
  set_aside_at: Instant,
): Promise<StoredAside | undefined> {
  const work = await readWork(tx);
  return isNothing(measure(work)) ? undefined : underItsKey(tx, work, id, set_aside_at);
}

async function readWork(tx: Tx | ReadTx): Promise<Work> {
  const refused = await tx.objectStore("settled").index("status").getAll("refused");
  return {
    outbox: await tx.objectStore("outbox").getAll(),
    refused: refused.sort((one, other) => one.number - other.number),
    drafts: await tx.objectStore("drafts").getAll(),
    pictures: (await tx.objectStore("pictures").getAll()).filter(isUnsent),
  };
}

async function underItsKey(
  tx: Tx | ReadTx,
  work: Work,
  id: Id,
  set_aside_at: Instant,
): Promise<StoredAside> {
  const meta = tx.objectStore("meta");
  const wrapped_key = (await meta.get("wrapped_key")) as StoredAside["wrapped_key"] | undefined;
  const identity = (await meta.get("identity")) as StoredAside["identity"] | undefined;
  if (wrapped_key === undefined || identity === undefined) throw new Fault("record_damaged");
  return { id, set_aside_at, wrapped_key, identity, ...work };
}

/**
 * What would be lost with the key, and what the server would lose without it. `lost`: it has. To be called
 * before the stores are emptied, in the same transaction.
 */
export async function setAsideWork(
  tx: Tx,
  id: Id,
  set_aside_at: Instant,
  lost: boolean,
): Promise<void> {
  const settled = (await tx.objectStore("settled").index("number").getAll()).filter(isInTheLog);
  const work = await readWork(tx);
  if (isNothing(measure(work)) && settled.length === 0) return;
  const aside = { ...(await underItsKey(tx, work, id, set_aside_at)), settled };
  await tx.objectStore("set_aside").add(lost ? wanted(aside) : aside);
}

function isInTheLog({ status }: SettledCommand): boolean {
  return status === "applied" || status === "covered";
}

/** Whether this opens something that was set aside. */
export async function isOldPassphrase(phone: Phone, passphrase: string): Promise<boolean> {
  for (const { wrapped_key } of await phone.db.getAll("set_aside")) {
    const fits = await unwrapRecordKey(passphrase, wrapped_key).then(
      () => true,
      () => false,
    );
    if (fits) return true;
  }
  return false;
}
