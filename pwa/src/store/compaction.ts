/**
 * Keeps the blocks of a kind few: small ones at the end become one, without opening the rest; and a kind whose
 * blocks hold twice the rows that they held when it was last gone through is gone through again. Call where
 * nobody else writes base rows.
 */
import { byKind, goneThrough, merged, needsGoingThrough, tailToMerge } from "./base";
import { type KindRewrite, ofKind, openAll, plan, progressNow, writePlanned } from "./blocks";
import type { BlockKey } from "./db";
import type { Phone } from "./phone";

export async function compact(phone: Phone): Promise<void> {
  const before = await progressNow(phone);
  const rewrites: KindRewrite[] = [];
  const gone_through: Record<string, number> = {};
  const all = await phone.db.getAllKeys("blocks");
  for (const [kind, keys] of byKind(all, ([kind]) => kind)) {
    const sizes = keys.map(([, , rows]) => rows);
    const tail = tailToMerge(sizes);
    if (needsGoingThrough(total(sizes), before.gone_through[kind] ?? 0)) {
      const rewrite = await goThrough(phone, kind);
      const dropped = sizes.filter((_, at) => rewrite.drop.includes(keys[at]?.[1] ?? 0));
      gone_through[kind] = total(sizes) - total(dropped) + rewrite.rows.length;
      rewrites.push(rewrite);
    } else if (tail > 0) rewrites.push(await mergeTail(phone, kind, keys.slice(-tail)));
  }
  if (rewrites.length === 0) return;
  const planned = await plan(phone, before.base, false, rewrites);
  await writePlanned(phone, before, planned, (_tx, now) => ({
    gone_through: { ...now.gone_through, ...gone_through },
  }));
}

async function goThrough(phone: Phone, kind: string): Promise<KindRewrite> {
  const blocks = await phone.db.getAll("blocks", ofKind(kind));
  return { kind, blocks, ...goneThrough(await openAll(phone.lock.key(), blocks)) };
}

async function mergeTail(
  phone: Phone,
  kind: string,
  keys: readonly BlockKey[],
): Promise<KindRewrite> {
  const tail = IDBKeyRange.bound(keys[0], [kind, []]);
  const blocks = await phone.db.getAll("blocks", tail);
  return { kind, blocks, ...merged(await openAll(phone.lock.key(), blocks)) };
}

function total(rows: readonly number[]): number {
  return rows.reduce((sum, one) => sum + one, 0);
}
