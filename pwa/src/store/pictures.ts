/**
 * Pictures on disk. Each lies in pieces, sealed under a key of its own; that key lies in the picture's row, sealed
 * under the record key. So another record key needs no picture sealed anew.
 */
import { PART_BYTES, partSpan, partsOf } from "../domain/pictures";
import type { Id } from "../wire/types";
import { fromBase64, toBase64 } from "./base64";
import {
  type Database,
  type PictureState,
  queue,
  type StoredPicture,
  type StoredPiece,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import {
  associatedData,
  importKey,
  open,
  openBytes,
  randomBytes,
  seal,
  sealBytes,
  type SealedAt,
} from "./seal";

const KEY_BYTES = 32;
const NONCE_BYTES = 12;
/** The number of the small picture; those of the whole one count from 1, as the server counts. */
const SMALL = 0;

export const PICTURE_STORES = ["pictures", "picture_pieces"] as const;

interface Kept {
  /** In base64. */
  key: string;
  /** Of the whole, in hex. */
  sha256: string;
}

export interface SealedPicture {
  row: StoredPicture;
  pieces: StoredPiece[];
}

/** `whole` and `small` are JPEG; `small` is null where there is none. */
export async function sealPicture(
  under: CryptoKey,
  { id, state, kept_at }: Pick<StoredPicture, "id" | "state" | "kept_at">,
  { whole, small, sha256 }: { whole: Bytes; small: Bytes | null; sha256: string },
): Promise<SealedPicture> {
  const raw = randomBytes(KEY_BYTES);
  const own = await importKey(raw);
  const named = { id, size: whole.length };
  const pieces: StoredPiece[] = [];
  if (small !== null) pieces.push(await sealPiece(own, named, SMALL, small));
  for (let number = 1; number <= partsOf(whole.length); number += 1) {
    const [from, to] = partSpan(whole.length, number);
    pieces.push(await sealPiece(own, named, number, whole.subarray(from, to)));
  }
  const box = await seal(under, place(named), { key: toBase64(raw), sha256 } satisfies Kept);
  raw.fill(0);
  return { row: { ...named, state, kept_at, ...box }, pieces };
}

type Bytes = Uint8Array<ArrayBuffer>;

async function sealPiece(
  own: CryptoKey,
  named: Named,
  number: number,
  plain: Bytes,
): Promise<StoredPiece> {
  const iv = randomBytes(NONCE_BYTES);
  const ct = await sealBytes(own, associatedData(piecePlace(named, number)), iv, plain);
  return { picture: named.id, number, iv, ct };
}

export function putPicture(tx: Tx, { row, pieces }: SealedPicture): void {
  queue(tx.objectStore("pictures").put(row));
  for (const piece of pieces) queue(tx.objectStore("picture_pieces").put(piece));
}

export function dropPicture(tx: Tx, id: Id): void {
  queue(tx.objectStore("pictures").delete(id));
  queue(tx.objectStore("picture_pieces").delete(IDBKeyRange.bound([id, SMALL], [id, Infinity])));
}

/** Those that the practice has. */
export async function dropSentPictures(tx: Tx): Promise<void> {
  for (const picture of await tx.objectStore("pictures").getAll()) {
    if (!isUnsent(picture)) dropPicture(tx, picture.id);
  }
}

/** Where the record key goes: the pieces of those that were set aside stay, and open again with them. */
export async function forgetPictures(tx: Tx): Promise<void> {
  await dropSentPictures(tx);
  queue(tx.objectStore("pictures").clear());
}

/** A server that was restored may have lost those that it had. */
export async function sendPicturesAgain(tx: Tx): Promise<void> {
  const pictures = tx.objectStore("pictures");
  for (const picture of await pictures.getAll()) {
    if (picture.state === "sent") queue(pictures.put({ ...picture, state: "unsent" }));
  }
}

export async function setState(db: Database, id: Id, state: PictureState): Promise<void> {
  await writeStrictly(db, ["pictures"], async (tx) => {
    const row = await tx.objectStore("pictures").get(id);
    if (row !== undefined) await tx.objectStore("pictures").put({ ...row, state });
  });
}

/** Opens a picture's own key; the pieces are then read one by one. Throws `record_damaged`. */
export class OpenedPicture {
  readonly #db: Database;
  readonly #row: StoredPicture;
  readonly #own: CryptoKey;
  /** Of the whole, in hex. */
  readonly sha256: string;

  private constructor(db: Database, row: StoredPicture, own: CryptoKey, sha256: string) {
    [this.#db, this.#row, this.#own, this.sha256] = [db, row, own, sha256];
  }

  static async open(db: Database, under: CryptoKey, row: StoredPicture): Promise<OpenedPicture> {
    const { key, sha256 } = (await open(under, place(row), row)) as Kept;
    return new OpenedPicture(db, row, await importKey(fromBase64(key)), sha256);
  }

  /** Null where there is no small one. */
  async small(): Promise<Blob | null> {
    const piece = await this.#db.get("picture_pieces", [this.#row.id, SMALL]);
    return piece === undefined ? null : jpeg([await this.#openPiece(piece)]);
  }

  async whole(): Promise<Blob> {
    const parts: Bytes[] = [];
    for (let number = 1; number <= partsOf(this.#row.size); number += 1) {
      parts.push(await this.part(number));
    }
    return jpeg(parts);
  }

  async part(number: number): Promise<Bytes> {
    const piece = await this.#db.get("picture_pieces", [this.#row.id, number]);
    if (piece === undefined) throw new Fault("record_damaged");
    return this.#openPiece(piece);
  }

  #openPiece(piece: StoredPiece): Promise<Bytes> {
    return openBytes(this.#own, associatedData(piecePlace(this.#row, piece.number)), piece);
  }
}

/** The same rows under another record key; their pieces stay as they are. */
export function resealPictures(
  from: CryptoKey,
  to: CryptoKey,
  rows: readonly StoredPicture[],
): Promise<StoredPicture[]> {
  return Promise.all(
    rows.map(async (row) => ({
      ...row,
      ...(await seal(to, place(row), await open(from, place(row), row))),
    })),
  );
}

/** Whether the practice has not got it yet. What does not open any more stays as well, and is told of. */
export function isUnsent({ state }: Pick<StoredPicture, "state">): boolean {
  return state === "unsent" || state === "damaged";
}

export async function sha256Of(bytes: Bytes): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function jpeg(parts: BlobPart[]): Blob {
  return new Blob(parts, { type: "image/jpeg" });
}

type Named = Pick<StoredPicture, "id" | "size">;

function place({ id, size }: Named): SealedAt {
  return ["pictures", id, size];
}

function piecePlace({ id, size }: Named, number: number): SealedAt {
  return ["picture_pieces", id, size, number, PART_BYTES];
}
