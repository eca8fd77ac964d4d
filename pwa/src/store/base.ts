/**
 * What the blocks of a kind add up to, and which of them must be written anew. Pure.
 *
 * Blocks are read by number and their rows in order: the later version of a row wins. A block that loses a
 * row is taken apart: its rows that still stand go into a new block at the end, where they win as before.
 */
import type { FeedRow, Id, PullReply } from "../wire/types";

export interface OpenBlock {
  number: number;
  rows: readonly FeedRow[];
}

/** The rows of one kind. */
export type Base = Map<Id, FeedRow>;

/** A page of a pull, as far as base rows go. */
export type BasePage = Pick<PullReply, "reset" | "forget" | "rows">;

/** The numbers of the blocks that go, and the rows that are written anew. */
export interface Rewrite {
  drop: number[];
  rows: FeedRow[];
}

/** Blocks of fewer rows than this are put together when there are too many of them at the end of a kind. */
const SMALL = 250;
const MANY = 16;

export function byKind<T>(items: readonly T[], kindOf: (item: T) => string): Map<string, T[]> {
  const kinds = new Map<string, T[]>();
  for (const item of items) {
    const known = kinds.get(kindOf(item));
    if (known === undefined) kinds.set(kindOf(item), [item]);
    else known.push(item);
  }
  return kinds;
}

export function changesBase({ reset, forget, rows }: BasePage): boolean {
  return reset || forget.length + rows.length > 0;
}

export function fold(blocks: readonly OpenBlock[]): Base {
  const base: Base = new Map();
  for (const { rows } of blocks) for (const row of rows) base.set(row.id, row);
  return base;
}

/** Changes the rows in memory as the page changes them on disk. Returns whether anything has changed. */
export function applyTo(base: Base, kind: string, page: BasePage): boolean {
  const rows = page.rows.filter((row) => row.kind === kind);
  const forgotten = new Set(page.forget);
  const gone = [...base.values()].filter(({ scope }) => page.reset || forgotten.has(scope));
  for (const { id } of gone) base.delete(id);
  for (const row of rows) {
    if (row.row === null) base.delete(row.id);
    else base.set(row.id, row);
  }
  return gone.length > 0 || rows.length > 0;
}

/**
 * No version is left of a row that is removed or whose scope is forgotten, and no older version that lay in
 * such a scope. Of a row that has moved out of it the present version stays.
 */
export function cut(blocks: readonly OpenBlock[], forget: readonly Id[], removed: readonly Id[]) {
  const forgotten = new Set(forget);
  const gone = new Set(removed);
  for (const { id, scope } of fold(blocks).values()) if (forgotten.has(scope)) gone.add(id);
  const isGone = ({ id, scope }: FeedRow) => gone.has(id) || forgotten.has(scope);
  return takeApart(
    blocks,
    (row) => !isGone(row),
    ({ rows }) => rows.some(isGone),
  );
}

/**
 * How many blocks at the end of a kind are to become one, by how many rows each has, oldest first; 0 for none.
 * A small block that stays before them has more than twice the rows after it, so that sizes grow as they do
 * in a log-structured merge, and a row is written anew a few times in all.
 */
export function tailToMerge(rowsOfBlocks: readonly number[]): number {
  const small = rowsOfBlocks.length - 1 - rowsOfBlocks.findLastIndex((rows) => rows >= SMALL);
  if (small <= MANY) return 0;
  let [tail, sum] = [0, 0];
  for (const [newer, rows] of rowsOfBlocks.slice(-small).reverse().entries()) {
    if (rows <= 2 * sum) tail = newer + 1;
    sum += rows;
  }
  return tail;
}

/** Whether a kind has so many rows more than when it was last gone through that half may be superseded. */
export function needsGoingThrough(rows: number, before: number): boolean {
  return rows > 2 * Math.max(before, SMALL);
}

/** Puts blocks at the end of a kind together. */
export function merged(tail: readonly OpenBlock[]): Rewrite {
  return takeApart(
    tail,
    () => true,
    () => true,
  );
}

/** Of all blocks of a kind: puts together those of which most rows have a later version elsewhere. */
export function goneThrough(blocks: readonly OpenBlock[]): Rewrite {
  const base = fold(blocks);
  const standing = ({ rows }: OpenBlock) => rows.filter((row) => base.get(row.id) === row).length;
  return takeApart(
    blocks,
    () => true,
    (block) => standing(block) * 2 < block.rows.length,
  );
}

function takeApart(
  blocks: readonly OpenBlock[],
  stays: (row: FeedRow) => boolean,
  chosen: (block: OpenBlock) => boolean,
): Rewrite {
  const base = fold(blocks);
  const taken = blocks.filter(chosen);
  const standing = taken.flatMap(({ rows }) => rows.filter((row) => base.get(row.id) === row));
  return { drop: taken.map(({ number }) => number), rows: standing.filter(stays) };
}
