/**
 * The outbox, and how commands are sealed. A command is on disk, sealed and numbered, before anybody is told
 * that it is saved; it leaves the outbox only together with its receipt (receipts.ts). The outbox's own key
 * generator numbers the commands: without gaps, since a transaction that fails takes its number back (W3C
 * Indexed Database API 3.0, section 2.11), and in order among tabs.
 */
import type { CommandArgs, CommandName } from "../domain/commands";
import type { Command, CommandResult, Id, Refusal } from "../wire/types";
import {
  addStrictly,
  type Progress,
  queue,
  readProgress,
  type SettledCommand,
  type StoredCommand,
  type StoreName,
  type Tx,
  writeUnderKey,
} from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { type Box, open, seal, type SealedAt, sealText } from "./seal";

/** What is sealed of a command. Its number lies outside, since it is given inside the transaction. */
export type Made = Omit<Command, "seq">;
/** What the server had to say of it. */
export type Answer = Pick<CommandResult, "refusal" | "incidents">;
/** An earlier app sealed the answer together with the command. */
type Sealed = Made & Partial<Answer>;

/** `number` is the phone's own. */
export type HeldCommand = Made & { number: number; refusal: Refusal | null };
/** `seq` is its number under the present device. */
export type NumberedCommand = HeldCommand & { seq: number };

/** Each in order. `applied` have a receipt, and their effects are not in the base rows yet. */
export interface CommandLists {
  waiting: readonly HeldCommand[];
  applied: readonly HeldCommand[];
  refused: readonly HeldCommand[];
}

const PUSHED_AT_ONCE = 100;
/** Characters of one push, and of one command: well below what the server takes as a body. */
const LARGEST_PUSH = 1_000_000;
const LARGEST_COMMAND = 400_000;

export async function writeCommand<N extends CommandName>(
  phone: Phone,
  name: N,
  args: CommandArgs[N],
): Promise<HeldCommand> {
  const held = phone.lock.held();
  const { command, stored } = await sealCommand(phone, held.key, name, args);
  const number = await addStrictly(phone.db, held, stored);
  return written(held.key, command, number);
}

/** The same with what belongs to it, which is on disk together with it or not at all. */
export async function writeCommandWith<N extends CommandName>(
  phone: Phone,
  name: N,
  args: CommandArgs[N],
  { stores, write }: { stores: readonly StoreName[]; write: (tx: Tx) => void },
): Promise<HeldCommand> {
  const held = phone.lock.held();
  const { command, stored } = await sealCommand(phone, held.key, name, args);
  const number = await writeUnderKey(phone.db, held, ["outbox", ...stores], (tx) => {
    write(tx);
    return addToOutbox(tx, stored);
  });
  return written(held.key, command, number);
}

async function sealCommand<N extends CommandName>(
  phone: Phone,
  key: CryptoKey,
  name: N,
  args: CommandArgs[N],
): Promise<{ command: Made; stored: Omit<StoredCommand, "number"> }> {
  const made = { id: phone.newId(), name, args: { ...args }, made_at: phone.now().toISOString() };
  const command = { ...made, rulebook: phone.rulebookVersion() };
  const json = JSON.stringify(command);
  if (json.length > LARGEST_COMMAND) throw new Fault("too_large");
  return { command, stored: { id: made.id, ...(await sealText(key, place(made.id), json)) } };
}

function written(key: CryptoKey, command: Made, number: number): HeldCommand {
  opened(key).set(command.id, command);
  return { ...command, number, refusal: null };
}

/** At the end, under the next number, which it returns. */
export function addToOutbox(
  tx: Tx,
  { id, iv, ct }: Omit<StoredCommand, "number">,
): Promise<number> {
  return tx.objectStore("outbox").add({ id, iv, ct } as StoredCommand);
}

/**
 * Gives what waits fresh numbers, after `first`, for a device whose next command has the number `next_seq`.
 * Returns what that device's numbers are counted from. A command keeps its id: what did arrive before under
 * another number is known to the server by it.
 */
export async function renumberOutbox(
  tx: Tx,
  next_seq: number,
  first: readonly StoredCommand[] = [],
): Promise<number> {
  const outbox = tx.objectStore("outbox");
  const waiting = await outbox.getAll();
  await outbox.clear();
  // One number is used up, to learn where the generator stands.
  const last = await addToOutbox(tx, { id: "", iv: new Uint8Array(), ct: new Uint8Array() });
  await outbox.delete(last);
  for (const command of [...first, ...waiting]) queue(addToOutbox(tx, command));
  return last + 1 - next_seq;
}

/** As they stood on disk at one moment. */
export async function readCommands(phone: Phone): Promise<CommandLists> {
  const key = phone.lock.key();
  const tx = phone.db.transaction(["outbox", "settled"]);
  const byStatus = tx.objectStore("settled").index("status");
  const [waiting, applied, refused] = await Promise.all([
    tx.objectStore("outbox").getAll(),
    byStatus.getAll("applied"),
    byStatus.getAll("refused"),
  ]);
  return {
    waiting: await openAll(key, waiting),
    applied: await openAll(key, applied),
    refused: await openAll(key, refused),
  };
}

/** Whether these are the ones on disk. Opens none, and nearly always there are none after a round. */
export async function isOnDisk(phone: Phone, lists: CommandLists): Promise<boolean> {
  const tx = phone.db.transaction(["outbox", "settled"]);
  const byStatus = tx.objectStore("settled").index("status");
  const [waiting, applied, refused] = await Promise.all([
    tx.objectStore("outbox").getAllKeys(),
    byStatus.getAllKeys("applied"),
    byStatus.getAllKeys("refused"),
  ]);
  const same = (keys: readonly unknown[], held: readonly unknown[]) =>
    keys.length === held.length && new Set([...keys, ...held]).size === keys.length;
  return (
    same(
      waiting,
      lists.waiting.map(({ number }) => number),
    ) &&
    same(applied, lists.applied.map(idOf)) &&
    same(refused, lists.refused.map(idOf))
  );
}

/** The oldest that wait, as many as fit into one push; at least one. With what was heard last. */
export async function readBatch(
  phone: Phone,
): Promise<{ batch: NumberedCommand[]; heard: Progress["heard"] }> {
  const key = phone.lock.key();
  const tx = phone.db.transaction(["outbox", "meta"]);
  const [oldest, { numbered_after, heard }] = await Promise.all([
    tx.objectStore("outbox").getAll(null, PUSHED_AT_ONCE),
    readProgress(tx),
  ]);
  let size = 0;
  const batch = (await openAll(key, oldest))
    .map((command) => ({ ...command, seq: command.number - numbered_after }))
    .filter((command, index) => {
      size += sizeOf(command);
      return index === 0 || size <= LARGEST_PUSH;
    });
  return { batch, heard };
}

export function sealAnswer(key: CryptoKey, id: Id, answer: Answer): Promise<Box> {
  return seal(key, answerPlace(id), answer);
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

async function openAll(
  key: CryptoKey,
  stored: readonly (StoredCommand & Partial<Pick<SettledCommand, "answer">>)[],
): Promise<HeldCommand[]> {
  const commands = stored.map(async (command): Promise<HeldCommand> => {
    const { number, id, answer } = command;
    const { refusal, incidents: _, ...made } = await openOnce(key, command);
    const said = answer ? ((await open(key, answerPlace(id), answer)) as Answer) : { refusal };
    return { ...made, number, refusal: said.refusal ?? null };
  });
  return (await Promise.all(commands)).sort((one, other) => one.number - other.number);
}

/** A command never changes, so it is opened once; what was opened goes with the key. */
const OPENED = new WeakMap<CryptoKey, Map<Id, Sealed>>();

function opened(key: CryptoKey): Map<Id, Sealed> {
  const known = OPENED.get(key) ?? new Map<Id, Sealed>();
  OPENED.set(key, known);
  return known;
}

async function openOnce(key: CryptoKey, command: StoredCommand): Promise<Sealed> {
  const known = opened(key);
  const sealed = known.get(command.id) ?? ((await open(key, place(command.id), command)) as Sealed);
  known.set(command.id, sealed);
  return sealed;
}

function idOf({ id }: Made): Id {
  return id;
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
