/**
 * The sealed list of the blocks that are on the phone, written with every change of them: a block that somebody
 * or a broken browser has removed is so noticed. A phone that has none yet gets it with its next write.
 */
import { type BlockKey, type ReadTx, readProgress } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { type Box, open, seal, type SealedAt } from "./seal";

/** `base` is the progress's count at the write that it came with. */
export interface Manifest {
  base: number;
  blocks: readonly BlockKey[];
}

const PLACE: SealedAt = ["meta", "manifest"];

export function sealManifest(key: CryptoKey, manifest: Manifest): Promise<Box> {
  return seal(key, PLACE, manifest);
}

export async function openManifest(key: CryptoKey, box: Box | undefined): Promise<Manifest | null> {
  return box === undefined ? null : ((await open(key, PLACE, box)) as Manifest);
}

/** Throws `record_damaged` where the blocks of a kind are not those that were written. */
export function checkKind(
  manifest: Manifest | null,
  base: number,
  kind: string,
  held: readonly BlockKey[],
): void {
  if (manifest === null) return;
  const due = manifest.blocks.filter(([of]) => of === kind);
  if (manifest.base !== base || !isSame(due, held)) throw new Fault("record_damaged");
}

/** Whether all blocks are there. Where they are not, only a pull of everything helps. */
export async function isWhole(phone: Phone): Promise<boolean> {
  const tx: ReadTx = phone.db.transaction(["blocks", "meta"]);
  const [held, sealed, { base }] = await Promise.all([
    tx.objectStore("blocks").getAllKeys(),
    tx.objectStore("meta").get("manifest") as Promise<Box | undefined>,
    readProgress(tx),
  ]);
  const key = phone.lock.key();
  const manifest = await openManifest(key, sealed).catch(() => undefined);
  if (manifest === null) return true;
  return manifest?.base === base && isSame(manifest.blocks, held);
}

function isSame(due: readonly BlockKey[], held: readonly BlockKey[]): boolean {
  const known = new Set(due.map(String));
  return known.size === held.length && held.every((key) => known.has(String(key)));
}
