/** Fetches what has changed. A page is on disk together with its cursor, or not at all. */
import { leaseHeard } from "../domain/lease";
import type { Credentials, Http } from "../wire/http";
import type { Id, Instant, PullReply } from "../wire/types";
import { changesBase } from "./base";
import { isUpToDate, planPage, writeBase } from "./blocks";
import { compact } from "./compaction";
import {
  type Progress,
  putMeta,
  queue,
  readMeta,
  readProgress,
  type StoreName,
  type Tx,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import { isWhole } from "./manifest";
import { moveOldRows } from "./old_rows";
import type { Phone } from "./phone";
import { cover } from "./receipts";
import { sendAgain } from "./restored";

/** What a page has done to the commands. */
export interface Applied {
  /** Their effects are in the base rows now. */
  covered: readonly Id[];
  /** When all was last in step, now that this page is on disk. */
  last_ok_at: Instant | null;
  /** The server wants commands again that were settled: they wait here, or are shown as set aside. */
  lost: boolean;
  /** Some of them are in the outbox. */
  resend: boolean;
}

/** Pulls until the server has no more. `applied` is told after each page that is on disk. */
export async function pull(
  phone: Phone,
  http: Http,
  as: Credentials,
  applied: (page: PullReply, done: Applied) => void,
): Promise<void> {
  await moveOldRows(phone);
  // What has gone missing on the phone is no news to the server: it is asked for everything.
  let anew = !(await isWhole(phone));
  if (anew) phone.report(new Fault("record_damaged"));
  let changed = false;
  for (;;) {
    const before = await readMeta(phone.db, "progress");
    if (before?.device !== as.device) throw new Fault("not_signed_in");
    const said = await http.pull(as, anew ? null : before.cursor, before.heard);
    const page = anew ? { ...said, reset: true } : said;
    const done = await applyPage(phone, before, page);
    if (done === null) continue;
    anew = false;
    changed ||= changesBase(page);
    applied(page, done);
    if (page.more) continue;
    if (changed) await compact(phone);
    return;
  }
}

const WRITTEN: StoreName[] = ["blocks", "outbox", "settled", "set_aside", "pictures", "meta"];

/**
 * Writes a page that was asked for at `before`. Null where base rows were written by somebody else since:
 * then nothing of it is.
 */
export async function applyPage(
  phone: Phone,
  before: Progress,
  page: PullReply,
): Promise<Applied | null> {
  const heard_at = phone.now().toISOString();
  const write = await planPage(phone, before, page);
  return writeStrictly(phone.db, WRITTEN, async (tx) => {
    const now = await readProgress(tx);
    if (!isUpToDate(before, now)) return null;
    writeBase(tx, write);
    const { lost, resend, numbered_after } = await wantedAgain(tx, page, now);
    const progress: Progress = {
      ...now,
      numbered_after,
      cursor: page.cursor,
      base: write.base,
      lease: leaseHeard(page, heard_at),
      heard: page.heard,
      gone_through: goneThrough(page, now),
      last_ok_at: page.more ? now.last_ok_at : heard_at,
    };
    queue(putMeta(tx, "progress", progress));
    // A full pull holds the effects of every command below its next number.
    const covered = page.more ? [] : await cover(tx, page.next_seq, progress);
    return { covered, lost, resend, last_ok_at: progress.last_ok_at };
  });
}

/** What a first pull brings needs no going through: each row is in it once. */
function goneThrough(
  page: PullReply,
  { gone_through, last_ok_at }: Progress,
): Record<string, number> {
  if (last_ok_at !== null && !page.reset) return gone_through;
  const rows = page.reset ? {} : { ...gone_through };
  for (const { kind } of page.rows) rows[kind] = (rows[kind] ?? 0) + 1;
  return rows;
}

async function wantedAgain(tx: Tx, { next_seq, ...page }: PullReply, progress: Progress) {
  const { numbered_after } = progress;
  const lost = page.lost || (await isBehind(tx, next_seq, progress));
  if (!lost) return { lost, resend: false, numbered_after };
  const now = await sendAgain(tx, next_seq);
  return { lost, resend: (await tx.objectStore("outbox").count()) > 0, numbered_after: now };
}

/** An earlier version of the app has left receipts without word of the history, and numbers the server lacks. */
async function isBehind(
  tx: Tx,
  next_seq: number,
  { heard, numbered_after }: Progress,
): Promise<boolean> {
  if (heard !== null) return false;
  const unknown = IDBKeyRange.lowerBound(next_seq + numbered_after);
  return (await tx.objectStore("settled").index("number").count(unknown)) > 0;
}
