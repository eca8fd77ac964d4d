/**
 * Keeps the blocks of a kind few: small ones at the end become one, without opening the rest; and a kind whose
 * blocks hold twice the rows that they held when it was last gone through is gone through again. Call where
 * nobody else writes base rows.
 */
import { goneThrough, merged, needsGoingThrough, type Rewrite, tailToMerge } from "./base";
import { ofKind, openAll, plan, progressNow, writePlanned } from "./blocks";
import type { Progress, StoredBlock } from "./db";
import type { Phone } from "./phone";

export async function compact(phone: Phone): Promise<void> {
  const sizes = new Map<string, number[]>();
  for (const [kind, , rows] of await phone.db.getAllKeys("blocks")) {
    const known = sizes.get(kind);
    if (known === undefined) sizes.set(kind, [rows]);
    else known.push(rows);
  }
  const { gone_through } = await progressNow(phone);
  for (const [kind, rows] of sizes) {
    if (needsGoingThrough(total(rows), gone_through[kind] ?? 0)) await goThrough(phone, kind);
    else await mergeTail(phone, kind, rows);
  }
}

async function goThrough(phone: Phone, kind: string): Promise<void> {
  const before = await progressNow(phone);
  const blocks = await phone.db.getAll("blocks", ofKind(kind));
  const rewrite = goneThrough(await openAll(phone.lock.key(), blocks));
  const kept = blocks.filter(({ number }) => !rewrite.drop.includes(number));
  const left = total(kept.map(({ rows }) => rows)) + rewrite.rows.length;
  await write(phone, before, kind, blocks, rewrite, left);
}

async function mergeTail(phone: Phone, kind: string, rows: readonly number[]): Promise<void> {
  const count = tailToMerge(rows);
  if (count === 0) return;
  const before = await progressNow(phone);
  const keys = await phone.db.getAllKeys("blocks", ofKind(kind));
  const [first] = keys.slice(-count);
  if (first === undefined) return;
  const tail = await phone.db.getAll("blocks", IDBKeyRange.bound(first, [kind, []]));
  await write(phone, before, kind, tail, merged(await openAll(phone.lock.key(), tail)));
}

async function write(
  phone: Phone,
  before: Progress,
  kind: string,
  blocks: readonly StoredBlock[],
  rewrite: Rewrite,
  left?: number,
): Promise<void> {
  const planned = await plan(phone, before.base, false, [{ kind, blocks, ...rewrite }]);
  await writePlanned(phone, before, planned, (_tx, { gone_through }) =>
    left === undefined ? {} : { gone_through: { ...gone_through, [kind]: left } },
  );
}

function total(rows: readonly number[]): number {
  return rows.reduce((sum, one) => sum + one, 0);
}
