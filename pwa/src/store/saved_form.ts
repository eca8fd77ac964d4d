/**
 * Work that was set aside as it stands in a file: bytes as base64, and nothing that only means something
 * on the phone it came from. Reading throws a TypeError where anything is not as it was written.
 */
import { fromBase64, toBase64 } from "./base64";
import type { SettledCommand, StoredAside, StoredCommand, StoredDraft } from "./db";
import type { WrappedKey } from "./passphrase";
import type { RecoveryCopy } from "./recovery";
import type { Box } from "./seal";

interface TextBox {
  iv: string;
  ct: string;
}

export interface TextAside {
  id: string;
  set_aside_at: string;
  wrapped_key: TextBox & {
    kdf: string;
    iterations: number;
    salt: string;
    recovery: { practice: string; staff: string; device?: string; lock: string; ct: string } | null;
  };
  identity: TextBox;
  outbox: (TextBox & { id: string })[];
  refused: (TextBox & { id: string; settled_at: number; answer: TextBox | null })[];
  drafts: (TextBox & { key: string })[];
}

/** Far beyond what any app has used; a file must not make a phone work for hours. */
const MOST_ITERATIONS = 10_000_000;

export function asideToText(aside: StoredAside): TextAside {
  const { id, set_aside_at, wrapped_key, identity, outbox, refused, drafts } = aside;
  const { kdf, iterations, salt, recovery } = wrapped_key;
  return {
    id,
    set_aside_at,
    wrapped_key: {
      ...boxToText(wrapped_key),
      kdf,
      iterations,
      salt: toBase64(salt),
      recovery: recovery === undefined ? null : { ...recovery, ct: toBase64(recovery.ct) },
    },
    identity: boxToText(identity),
    outbox: outbox.map((command) => ({ id: command.id, ...boxToText(command) })),
    refused: refused.map((command) => ({
      id: command.id,
      settled_at: command.settled_at,
      answer: command.answer === null ? null : boxToText(command.answer),
      ...boxToText(command),
    })),
    drafts: drafts.map((draft) => ({ key: draft.key, ...boxToText(draft) })),
  };
}

export function asideFrom(value: unknown): StoredAside {
  const aside = record(value);
  return {
    id: text(aside["id"]),
    set_aside_at: instant(aside["set_aside_at"]),
    wrapped_key: wrappedFrom(record(aside["wrapped_key"])),
    identity: boxFrom(record(aside["identity"])),
    outbox: list(aside["outbox"]).map(commandFrom),
    refused: list(aside["refused"]).map(refusedFrom),
    drafts: list(aside["drafts"]).map(draftFrom),
  };
}

function wrappedFrom(value: Record<string, unknown>): WrappedKey {
  const iterations = number(value["iterations"]);
  if (value["kdf"] !== "PBKDF2-SHA-256" || iterations < 1 || iterations > MOST_ITERATIONS) {
    throw new TypeError("wrapped_key");
  }
  const recovery = value["recovery"] === null ? {} : { recovery: copyFrom(value["recovery"]) };
  const salt = bytes(value["salt"]);
  return { ...boxFrom(value), kdf: "PBKDF2-SHA-256", iterations, salt, ...recovery };
}

function copyFrom(value: unknown): RecoveryCopy {
  const { practice, staff, device, lock, ct } = record(value);
  const made_on = device === undefined ? {} : { device: text(device) };
  return {
    practice: text(practice),
    staff: text(staff),
    ...made_on,
    lock: text(lock),
    ct: bytes(ct),
  };
}

/** The numbers of the phone that saved it mean nothing here: the order in the file is what counts. */
function commandFrom(value: unknown, number: number): StoredCommand {
  const command = record(value);
  return { number, id: text(command["id"]), ...boxFrom(command) };
}

function refusedFrom(value: unknown, place: number): SettledCommand {
  const command = record(value);
  const { answer, settled_at } = command;
  return {
    ...commandFrom(value, place),
    status: "refused",
    settled_at: number(settled_at),
    answer: answer === null ? null : boxFrom(record(answer)),
  };
}

function draftFrom(value: unknown): StoredDraft {
  const draft = record(value);
  return { key: text(draft["key"]), ...boxFrom(draft) };
}

function boxToText({ iv, ct }: Box): TextBox {
  return { iv: toBase64(iv), ct: toBase64(ct) };
}

function boxFrom(value: Record<string, unknown>): Box {
  return { iv: bytes(value["iv"]), ct: bytes(value["ct"]) };
}

function record(value: unknown): Record<string, unknown> {
  if (typeof value !== "object" || value === null) throw new TypeError("not an object");
  return value as Record<string, unknown>;
}

function list(value: unknown): unknown[] {
  if (!Array.isArray(value)) throw new TypeError("not a list");
  return value;
}

function text(value: unknown): string {
  if (typeof value !== "string") throw new TypeError("not text");
  return value;
}

function number(value: unknown): number {
  if (typeof value !== "number" || !Number.isFinite(value)) throw new TypeError("not a number");
  return value;
}

function instant(value: unknown): string {
  const at = text(value);
  if (Number.isNaN(Date.parse(at))) throw new TypeError("not a time");
  return at;
}

function bytes(value: unknown): Uint8Array<ArrayBuffer> {
  return fromBase64(text(value));
}
