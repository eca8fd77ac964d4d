/**
 * The outbox and what became of it. A command is on disk, sealed and numbered, before anybody is told that
 * it is saved; it leaves the outbox only together with its receipt.
 */
import type { CommandArgs, CommandName } from "../domain/commands";
import type { Command, CommandResult, Id, Refusal } from "../wire/types";
import {
  moveProgress,
  type SettledCommand,
  type StoredCommand,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import { type Phone, rulebookVersion } from "./phone";
import { open, seal, type SealedAt } from "./seal";

/** What is sealed of a command. Its number lies outside, since it is given inside the transaction. */
type Sealed = Omit<Command, "seq"> & { refusal?: Refusal; incidents?: Id[] };

export type HeldCommand = Command & { refusal: Refusal | null };

const PUSHED_AT_ONCE = 100;
/** Characters of one push, and of one command: well below what the server takes as a body. */
const LARGEST_PUSH = 1_000_000;
const LARGEST_COMMAND = 400_000;
/** Receipts are kept for a server that is restored from a backup and must be told again. */
const KEPT_DAYS = 90;

export async function writeCommand<N extends CommandName>(
  phone: Phone,
  name: N,
  args: CommandArgs[N],
): Promise<Command> {
  const key = phone.lock.key();
  const made = { id: phone.newId(), name, args, made_at: phone.now().toISOString() };
  const command = { ...made, rulebook: await rulebookVersion(phone.db) };
  if (sizeOf(command) > LARGEST_COMMAND) throw new Fault("too_large");
  const box = await seal(key, place(made.id), command);
  const seq = await writeStrictly(phone.db, ["outbox", "meta"], async (tx) => {
    const { next_seq } = await moveProgress(tx, (before) => ({ next_seq: before.next_seq + 1 }));
    await tx.objectStore("outbox").add({ seq: next_seq, id: made.id, ...box });
    return next_seq;
  });
  return { ...command, args: { ...args }, seq };
}

/** The commands not yet answered, in order. */
export async function readOutbox(phone: Phone): Promise<HeldCommand[]> {
  return openAll(phone.lock.key(), await phone.db.getAll("outbox"));
}

/** The oldest of them, as many as fit into one push; at least one. */
export async function readBatch(phone: Phone): Promise<HeldCommand[]> {
  const oldest = await openAll(
    phone.lock.key(),
    await phone.db.getAll("outbox", null, PUSHED_AT_ONCE),
  );
  let size = 0;
  return oldest.filter((command, index) => {
    size += sizeOf(command);
    return index === 0 || size <= LARGEST_PUSH;
  });
}

/** Commands with a receipt whose effects are not in the base rows yet. */
export async function readApplied(phone: Phone): Promise<HeldCommand[]> {
  return openAll(phone.lock.key(), await phone.db.getAllFromIndex("settled", "status", "applied"));
}

export async function readRefused(phone: Phone): Promise<HeldCommand[]> {
  return openAll(phone.lock.key(), await phone.db.getAllFromIndex("settled", "status", "refused"));
}

/** Moves every command that has its receipt out of the outbox, receipt and all. Returns how many. */
export async function settle(
  phone: Phone,
  pushed: readonly HeldCommand[],
  results: readonly CommandResult[],
): Promise<number> {
  const key = phone.lock.key();
  const settled_at = phone.now().getTime();
  const settled = await Promise.all(
    pushed.map(async (command): Promise<SettledCommand | null> => {
      const result = results.find(({ id, seq }) => id === command.id && seq === command.seq);
      if (result === undefined || result.status === "held_back") return null;
      const { seq, refusal: _, ...body } = command;
      const { refusal, incidents } = result;
      const box = await seal(key, place(command.id), { ...body, refusal, incidents });
      const status = refusal === null ? "applied" : "refused";
      return { id: command.id, seq, status, settled_at, ...box };
    }),
  );
  const done = settled.filter((one) => one !== null);
  await writeStrictly(phone.db, ["outbox", "settled"], async (tx) => {
    for (const command of done) {
      await tx.objectStore("settled").put(command);
      await tx.objectStore("outbox").delete(command.seq);
    }
  });
  return done.length;
}

export async function dealWith(phone: Phone, id: Id): Promise<void> {
  await writeStrictly(phone.db, ["settled"], async (tx) => {
    const command = await tx.objectStore("settled").get(id);
    if (command?.status !== "refused") return;
    await tx.objectStore("settled").put({ ...command, status: "dealt_with" });
  });
}

/** Forgets receipts that are older than any backup a server would be restored from. */
export async function dropOldReceipts(phone: Phone): Promise<void> {
  const oldest = phone.now().getTime() - KEPT_DAYS * 86_400_000;
  await writeStrictly(phone.db, ["settled"], async (tx) => {
    let cursor = await tx.objectStore("settled").openCursor();
    while (cursor !== null) {
      const { status, settled_at } = cursor.value;
      const finished = status === "covered" || status === "dealt_with";
      if (finished && settled_at < oldest) await cursor.delete();
      cursor = await cursor.continue();
    }
  });
}

/**
 * The server does not know commands from this number on, as after a restore from a backup: those that were
 * settled go back to the outbox. Returns whether there were any.
 */
export async function putBack(tx: Tx, next_seq: number): Promise<boolean> {
  const settled = tx.objectStore("settled");
  const unknown = (await settled.getAll()).filter((command) => command.seq >= next_seq);
  for (const { seq, id, iv, ct } of unknown) {
    await tx.objectStore("outbox").put({ seq, id, iv, ct });
    await settled.delete(id);
  }
  return unknown.length > 0;
}

/**
 * The same commands under another key, or under other ids. What a command makes has its id in the
 * arguments, so what did arrive before is not made twice.
 */
export async function reseal<S extends StoredCommand>(
  from: CryptoKey,
  to: CryptoKey,
  stored: readonly S[],
  idOf: (before: Id) => Id,
): Promise<S[]> {
  return Promise.all(
    stored.map(async (command): Promise<S> => {
      const sealed = (await open(from, place(command.id), command)) as Sealed;
      const id = idOf(command.id);
      return { ...command, id, ...(await seal(to, place(id), { ...sealed, id })) };
    }),
  );
}

async function openAll(key: CryptoKey, stored: readonly StoredCommand[]): Promise<HeldCommand[]> {
  const opened = stored.map(async ({ seq, id, iv, ct }): Promise<HeldCommand> => {
    const {
      refusal = null,
      incidents: _,
      ...command
    } = (await open(key, place(id), {
      iv,
      ct,
    })) as Sealed;
    return { ...command, seq, refusal };
  });
  return (await Promise.all(opened)).sort((one, other) => one.seq - other.seq);
}

function sizeOf(value: unknown): number {
  return JSON.stringify(value).length;
}

function place(id: Id): SealedAt {
  return ["commands", id];
}
