/**
 * Base rows on disk: sealed blocks of one kind each. Every write is planned first, since nothing but the
 * database may be awaited inside a transaction, and holds only where nobody else has written since.
 */
import type { FeedRow, Id } from "../wire/types";
import { type Base, type BasePage, byKind, cut, fold, type OpenBlock, type Rewrite } from "./base";
import {
  type BlockKey,
  type Progress,
  putMeta,
  queue,
  readMeta,
  readProgress,
  type StoredBlock,
  type StoredRow,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import { checkKind, type Manifest, openManifest, sealManifest } from "./manifest";
import type { Phone } from "./phone";
import { type Box, open, seal, type SealedAt } from "./seal";

/** Rows of one block at most: as many as a page of the server holds. */
const LARGEST = 500;

/** A write of base rows, ready to be done. `base` is the progress's count after it. */
export interface BaseWrite {
  clear: boolean;
  drop: BlockKey[];
  put: StoredBlock[];
  base: number;
  /** Of what is there after it; null where nothing changes. */
  manifest: Box | null;
}

export interface KindRewrite extends Rewrite {
  kind: string;
  blocks: readonly StoredBlock[];
}

/** The base rows of a kind, to be shown. Throws `record_damaged` where they are not all there. */
export async function openBase(phone: Phone, kind: string): Promise<Base> {
  const key = phone.lock.keyToShow();
  const tx = phone.db.transaction(["rows", "blocks", "meta"]);
  const [old, blocks, sealed, progress] = await Promise.all([
    tx.objectStore("rows").getAll(IDBKeyRange.bound([kind], [kind, []])),
    tx.objectStore("blocks").getAll(ofKind(kind)),
    tx.objectStore("meta").get("manifest") as Promise<Box | undefined>,
    readProgress(tx),
  ]);
  checkKind(await openManifest(key, sealed), progress.base, kind, blocks.map(keyOf));
  const rows = await Promise.all(old.map((row) => openOldRow(key, row)));
  return fold([{ number: 0, rows }, ...(await openAll(key, blocks))]);
}

/** What a page changes. */
export async function planPage(
  phone: Phone,
  { base }: Progress,
  page: BasePage,
): Promise<BaseWrite> {
  const rewrites = await rewritesFor(phone, page);
  return plan(phone, base, page.reset, rewrites);
}

async function rewritesFor(phone: Phone, page: BasePage): Promise<KindRewrite[]> {
  const isRemoved = ({ row }: FeedRow) => row === null;
  const removed = byKind(page.rows.filter(isRemoved), kindOf);
  const rows = byKind(
    page.rows.filter((row) => !isRemoved(row)),
    kindOf,
  );
  const kinds = new Set([...removed.keys(), ...rows.keys()]);
  // Which block holds a row of a scope shows only when it is opened: there is no list of scopes in the clear.
  if (page.forget.length > 0) for (const kind of await kindsHeld(phone)) kinds.add(kind);
  return Promise.all(
    [...kinds].map(async (kind): Promise<KindRewrite> => {
      const gone = (removed.get(kind) ?? []).map(({ id }) => id);
      const arrived = { kind, blocks: [], drop: [], rows: rows.get(kind) ?? [] };
      if (page.reset || page.forget.length + gone.length === 0) return arrived;
      const rewrite = await cutOnDisk(phone, kind, page.forget, gone);
      return { ...rewrite, rows: [...rewrite.rows, ...arrived.rows] };
    }),
  );
}

async function cutOnDisk(
  phone: Phone,
  kind: string,
  forget: readonly Id[],
  gone: readonly Id[],
): Promise<KindRewrite> {
  const blocks = await phone.db.getAll("blocks", ofKind(kind));
  return { kind, blocks, ...cut(await openAll(phone.lock.key(), blocks), forget, gone) };
}

/** Writes what was planned at `before` in a transaction of its own. Nothing where somebody else was faster. */
export async function writePlanned(
  phone: Phone,
  before: Progress,
  write: BaseWrite,
  also: (tx: Tx, now: Progress) => Partial<Progress>,
): Promise<void> {
  await writeStrictly(phone.db, ["blocks", "rows", "meta"], async (tx) => {
    const now = await readProgress(tx);
    if (!isUpToDate(before, now)) return;
    writeBase(tx, write);
    queue(putMeta(tx, "progress", { ...now, ...also(tx, now), base: write.base }));
  });
}

/** Whether a write that was planned at `before` still holds. */
export function isUpToDate(before: Progress, now: Progress): boolean {
  return before.base === now.base && before.device === now.device && !now.revoked;
}

export function writeBase(tx: Tx, { clear, drop, put, manifest }: BaseWrite): void {
  const store = tx.objectStore("blocks");
  if (clear) queue(store.clear());
  for (const key of drop) queue(store.delete(key));
  for (const block of put) queue(store.put(block));
  if (manifest !== null) queue(putMeta(tx, "manifest", manifest));
}

/** `base` is the progress's count that it is planned at; `clear` drops all there is. */
export async function plan(
  phone: Phone,
  base: number,
  clear: boolean,
  rewrites: readonly KindRewrite[],
): Promise<BaseWrite> {
  const key = phone.lock.key();
  const drop = rewrites.flatMap(({ blocks, drop }) =>
    blocks.filter(({ number }) => drop.includes(number)).map(keyOf),
  );
  const parts = rewrites.flatMap(({ kind, rows }) => inParts(rows).map((part) => ({ kind, part })));
  const put = await Promise.all(
    parts.map(({ kind, part }, at) => sealBlock(key, kind, base + 1 + at, part)),
  );
  if (!clear && drop.length + put.length === 0) return { clear, drop, put, base, manifest: null };
  const left = clear ? [] : without(await blocksDue(phone), drop);
  const after: Manifest = {
    base: base + Math.max(1, put.length),
    blocks: [...left, ...put.map(keyOf)],
  };
  return { clear, drop, put, base: after.base, manifest: await sealManifest(key, after) };
}

/** Which blocks should be there: what has gone missing stays on the list, and so is noticed. */
async function blocksDue(phone: Phone): Promise<readonly BlockKey[]> {
  const manifest = await openManifest(phone.lock.key(), await readMeta(phone.db, "manifest"));
  return manifest?.blocks ?? (await phone.db.getAllKeys("blocks"));
}

function without(keys: readonly BlockKey[], drop: readonly BlockKey[]): BlockKey[] {
  const dropped = new Set(drop.map(String));
  return keys.filter((key) => !dropped.has(String(key)));
}

function inParts(rows: readonly FeedRow[]): FeedRow[][] {
  const parts = Math.ceil(rows.length / LARGEST);
  return Array.from({ length: parts }, (_, at) => rows.slice(at * LARGEST, (at + 1) * LARGEST));
}

async function sealBlock(
  key: CryptoKey,
  kind: string,
  number: number,
  rows: readonly FeedRow[],
): Promise<StoredBlock> {
  const place: BlockKey = [kind, number, rows.length];
  return { kind, number, rows: rows.length, ...(await seal(key, placeOf(place), rows)) };
}

export function openAll(key: CryptoKey, blocks: readonly StoredBlock[]): Promise<OpenBlock[]> {
  return Promise.all(
    blocks.map(async (block) => {
      const rows = (await open(key, placeOf(keyOf(block)), block)) as FeedRow[];
      return { number: block.number, rows };
    }),
  );
}

export async function openOldRow(key: CryptoKey, sealed: StoredRow): Promise<FeedRow> {
  const { kind, id, scope, version } = sealed;
  const row = await open(key, ["rows", kind, id, scope, version], sealed);
  return { kind, id, scope, version, row: row as Record<string, unknown> };
}

export async function progressNow(phone: Phone): Promise<Progress> {
  const progress = await readMeta(phone.db, "progress");
  if (progress === undefined) throw new Fault("not_signed_in");
  return progress;
}

async function kindsHeld(phone: Phone): Promise<string[]> {
  return (await phone.db.getAllKeys("blocks")).map(([kind]) => kind);
}

export function kindOf({ kind }: FeedRow): string {
  return kind;
}

export function ofKind(kind: string): IDBKeyRange {
  return IDBKeyRange.bound([kind], [kind, []]);
}

function keyOf({ kind, number, rows }: StoredBlock): BlockKey {
  return [kind, number, rows];
}

function placeOf(key: BlockKey): SealedAt {
  return ["blocks", ...key];
}
