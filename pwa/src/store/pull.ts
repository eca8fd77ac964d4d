/** Fetches what has changed. A page is on disk together with its cursor, or not at all. */
import type { Credentials, Http } from "../wire/http";
import type { PullReply } from "../wire/types";
import { compact, isUpToDate, moveOldRows, planPage, writeBase } from "./blocks";
import { cover } from "./commands";
import {
  type HeardLease,
  type Progress,
  putMeta,
  queue,
  readMeta,
  readProgress,
  writeStrictly,
} from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { putBack, putBackEarlier } from "./restored";

/** Signed in under a new device number, and nothing heard under it yet. */
export async function hasMoved(phone: Phone): Promise<boolean> {
  const progress = await readMeta(phone.db, "progress");
  return progress?.last_ok_at === null && progress.cursor !== null;
}

/** Pulls until the server has no more. Returns whether the server wants commands again. */
export async function pull(
  phone: Phone,
  http: Http,
  as: Credentials,
  applied: (page: PullReply) => void,
): Promise<{ resend: boolean }> {
  await moveOldRows(phone);
  let resend = false;
  for (;;) {
    const before = await readMeta(phone.db, "progress");
    if (before?.device !== as.device) throw new Fault("not_signed_in");
    const page = await http.pull(as, before.cursor);
    const done = await applyPage(phone, before, page);
    if (done === null) continue;
    resend = done.resend || resend;
    applied(page);
    if (page.more) continue;
    await compact(phone);
    return { resend };
  }
}

/**
 * Writes a page that was asked for at `before`. Null where base rows were written by somebody else since:
 * then nothing of it is.
 */
export async function applyPage(
  phone: Phone,
  before: Progress,
  page: PullReply,
): Promise<{ resend: boolean } | null> {
  const heard_at = phone.now().toISOString();
  const write = await planPage(phone, before, page);
  return writeStrictly(phone.db, ["blocks", "outbox", "settled", "meta"], async (tx) => {
    const now = await readProgress(tx);
    if (!isUpToDate(before, now)) return null;
    writeBase(tx, write);
    const { cursor } = page;
    const heard = {
      cursor,
      base: write.base,
      lease: leaseOf(page, heard_at),
      last_ok_at: heard_at,
    };
    let resend = await putBack(tx, page.next_seq, now);
    let progress = now;
    // The place where this phone stood is unknown: so may be what it sent under earlier device numbers.
    if (page.reset && now.cursor !== null) {
      const numbered_after = await putBackEarlier(tx, page.next_seq, now);
      resend ||= numbered_after !== null;
      progress = { ...now, numbered_after: numbered_after ?? now.numbered_after };
    }
    queue(putMeta(tx, "progress", { ...progress, ...heard }));
    // A full pull holds the effects of every command below its next number.
    if (!page.more) await cover(tx, page.next_seq, progress);
    return { resend };
  });
}

function leaseOf(page: PullReply, heard_at: string): HeardLease {
  const { now: server_now, lease_seconds: seconds } = page;
  return { heard_at, server_now, seconds, latest_seen: heard_at };
}
