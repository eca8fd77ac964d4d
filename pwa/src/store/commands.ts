/**
 * The outbox and what became of it. A command is on disk, sealed and numbered, before anybody is told that
 * it is saved; it leaves the outbox only together with its receipt. The outbox's own key generator numbers
 * the commands: without gaps, since a transaction that fails takes its number back (W3C Indexed Database API
 * 3.0, section 2.11), and in order among tabs.
 */
import type { CommandArgs, CommandName } from "../domain/commands";
import type { Command, CommandResult, Id, Refusal } from "../wire/types";
import {
  type Progress,
  queue,
  readProgress,
  type ReadTx,
  type SettledCommand,
  type StoredCommand,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { type Box, open, seal, type SealedAt } from "./seal";

/** What is sealed of a command. Its number lies outside, since it is given inside the transaction. */
export type Made = Omit<Command, "seq">;
type Answer = Pick<CommandResult, "refusal" | "incidents">;
/** An earlier app sealed the answer together with the command. */
type Sealed = Made & Partial<Answer>;

/** `number` is the phone's own, `seq` the one under the present device. */
export type HeldCommand = Command & { number: number; refusal: Refusal | null };

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
): Promise<Made> {
  const key = phone.lock.key();
  const made = { id: phone.newId(), name, args: { ...args }, made_at: phone.now().toISOString() };
  const command = { ...made, rulebook: phone.rulebookVersion() };
  if (sizeOf(command) > LARGEST_COMMAND) throw new Fault("too_large");
  const box = await seal(key, place(made.id), command);
  await writeStrictly(phone.db, ["outbox"], (tx) => {
    queue(addToOutbox(tx, { id: made.id, ...box }));
    return Promise.resolve();
  });
  return command;
}

/** At the end, under the next number, which it returns. */
export function addToOutbox(
  tx: Tx,
  { id, iv, ct }: Omit<StoredCommand, "number">,
): Promise<number> {
  return tx.objectStore("outbox").add({ id, iv, ct } as StoredCommand);
}

/**
 * Gives what waits fresh numbers, for a device whose first command has the number `next_seq`. Returns what
 * that device's numbers are counted from. A command keeps its id: what did arrive before under another
 * device number is known to the server by it.
 */
export async function renumberOutbox(tx: Tx, next_seq: number): Promise<number> {
  const outbox = tx.objectStore("outbox");
  const waiting = await outbox.getAll();
  await outbox.clear();
  // One number is used up, to learn where the generator stands.
  const last = await addToOutbox(tx, { id: "", iv: new Uint8Array(), ct: new Uint8Array() });
  await outbox.delete(last);
  for (const command of waiting) queue(addToOutbox(tx, command));
  return last + 1 - next_seq;
}

/** The commands not yet answered, in order. */
export function readOutbox(phone: Phone): Promise<HeldCommand[]> {
  return readCommands(phone, (tx) => tx.objectStore("outbox").getAll());
}

/** The oldest of them, as many as fit into one push; at least one. */
export async function readBatch(phone: Phone): Promise<HeldCommand[]> {
  const oldest = await readCommands(phone, (tx) =>
    tx.objectStore("outbox").getAll(null, PUSHED_AT_ONCE),
  );
  let size = 0;
  return oldest.filter((command, index) => {
    size += sizeOf(command);
    return index === 0 || size <= LARGEST_PUSH;
  });
}

/** Commands with a receipt whose effects are not in the base rows yet. */
export function readApplied(phone: Phone): Promise<HeldCommand[]> {
  return readCommands(phone, (tx) => tx.objectStore("settled").index("status").getAll("applied"));
}

export function readRefused(phone: Phone): Promise<HeldCommand[]> {
  return readCommands(phone, (tx) => tx.objectStore("settled").index("status").getAll("refused"));
}

/** Moves every command that has its receipt out of the outbox, box and all. Returns how many. */
export async function settle(
  phone: Phone,
  pushed: readonly HeldCommand[],
  results: readonly CommandResult[],
): Promise<number> {
  const settled_at = phone.now().getTime();
  const receipts = await sealReceipts(phone.lock.key(), pushed, results);
  const [first, last] = [pushed[0]?.number ?? 0, pushed.at(-1)?.number ?? 0];
  return writeStrictly(phone.db, ["outbox", "settled"], async (tx) => {
    const outbox = tx.objectStore("outbox");
    let count = 0;
    for (const command of await outbox.getAll(IDBKeyRange.bound(first, last))) {
      const receipt = receipts.get(command.id);
      if (receipt === undefined) continue;
      queue(tx.objectStore("settled").put({ ...command, ...receipt, settled_at }));
      queue(outbox.delete(command.number));
      count += 1;
    }
    return count;
  });
}

async function sealReceipts(
  key: CryptoKey,
  pushed: readonly HeldCommand[],
  results: readonly CommandResult[],
): Promise<Map<Id, Pick<SettledCommand, "status" | "answer">>> {
  const receipts = new Map<Id, Pick<SettledCommand, "status" | "answer">>();
  for (const { id, seq } of pushed) {
    const result = results.find((one) => one.id === id && one.seq === seq);
    if (result === undefined || result.status === "held_back") continue;
    const { refusal, incidents } = result;
    const says = refusal !== null || incidents.length > 0;
    const answer = says ? await seal(key, answerPlace(id), { refusal, incidents }) : null;
    receipts.set(id, { status: refusal === null ? "applied" : "refused", answer });
  }
  return receipts;
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
    let cursor = await tx.objectStore("settled").index("number").openCursor();
    while (cursor !== null && cursor.value.settled_at < oldest) {
      const { status } = cursor.value;
      if (status === "covered" || status === "dealt_with") await cursor.delete();
      cursor = await cursor.continue();
    }
  });
}

/** The effects of every command below this number are in the base rows: no more replay of those. */
export async function cover(tx: Tx, next_seq: number, progress: Progress): Promise<void> {
  const settled = tx.objectStore("settled");
  for (const command of await settled.index("status").getAll("applied")) {
    if (command.number - progress.numbered_after >= next_seq) continue;
    queue(settled.put({ ...command, status: "covered" }));
  }
}

/** The same commands under another key. */
export function reseal<S extends StoredCommand & { answer?: Box | null }>(
  from: CryptoKey,
  to: CryptoKey,
  stored: readonly S[],
): Promise<S[]> {
  const again = async (at: SealedAt, box: Box) => seal(to, at, await open(from, at, box));
  return Promise.all(
    stored.map(async (command): Promise<S> => {
      const { id, answer } = command;
      const resealed = { ...command, ...(await again(place(id), command)) };
      return answer ? { ...resealed, answer: await again(answerPlace(id), answer) } : resealed;
    }),
  );
}

/** In order, with the numbers of the present device: both as they stood at one moment. */
async function readCommands(
  phone: Phone,
  pick: (tx: ReadTx) => Promise<(StoredCommand & { answer?: Box | null })[]>,
): Promise<HeldCommand[]> {
  const key = phone.lock.key();
  const tx = phone.db.transaction(["outbox", "settled", "meta"]);
  const [stored, progress] = await Promise.all([pick(tx), readProgress(tx)]);
  const opened = stored.map(async (command): Promise<HeldCommand> => {
    const { number, id, answer } = command;
    const { refusal, incidents: _, ...made } = await openOnce(key, command);
    const said = answer ? ((await open(key, answerPlace(id), answer)) as Answer) : { refusal };
    const seq = number - progress.numbered_after;
    return { ...made, number, seq, refusal: said.refusal ?? null };
  });
  return (await Promise.all(opened)).sort((one, other) => one.number - other.number);
}

/** A command never changes, so it is opened once; what was opened goes with the key. */
const OPENED = new WeakMap<CryptoKey, Map<Id, Sealed>>();

async function openOnce(key: CryptoKey, command: StoredCommand): Promise<Sealed> {
  const known = OPENED.get(key) ?? new Map<Id, Sealed>();
  OPENED.set(key, known);
  const sealed = known.get(command.id) ?? ((await open(key, place(command.id), command)) as Sealed);
  known.set(command.id, sealed);
  return sealed;
}

function sizeOf(value: unknown): number {
  return JSON.stringify(value).length;
}

function place(id: Id): SealedAt {
  return ["commands", id];
}

function answerPlace(id: Id): SealedAt {
  return ["answers", id];
}
