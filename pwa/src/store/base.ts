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

/** Blocks of fewer rows than this are put together when there are too many of them. */
const SMALL = 250;
const MANY = 16;

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

export function needsCompaction(rowsOfBlocks: readonly number[]): boolean {
  return rowsOfBlocks.filter((rows) => rows < SMALL).length > MANY;
}

/** Puts the small blocks together, and those of which most rows have a later version elsewhere. */
export function compacted(blocks: readonly OpenBlock[]): Rewrite {
  const base = fold(blocks);
  const standing = ({ rows }: OpenBlock) => rows.filter((row) => base.get(row.id) === row).length;
  return takeApart(
    blocks,
    () => true,
    (block) => block.rows.length < SMALL || standing(block) * 2 < block.rows.length,
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
