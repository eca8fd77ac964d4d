/** Which cycles of a machine are pulled back by its checks. The twin is kit/rules/recalls.py; same vectors. */
import type { Instant } from "../../wire/types";

/** `at` is when the machine was tested. One that `reaches_back` casts doubt on what came before it as well. */
export interface Check {
  kind: string;
  at: Instant;
  passed: boolean;
  reaches_back: boolean;
}

/**
 * Whether a cycle that began then is in doubt: since a check failed, until the next good one of its kind; where the
 * check reaches back, since the last good one before it.
 */
export function pulledBack(started_at: Instant, checks: readonly Check[]): boolean {
  const started = Date.parse(started_at);
  return checks.some((failed) => {
    if (failed.passed) return false;
    const at = Date.parse(failed.at);
    const good = checks
      .filter(({ kind, passed }) => passed && kind === failed.kind)
      .map((check) => Date.parse(check.at));
    const until = Math.min(...good.filter((each) => each > at));
    const since = Math.max(...good.filter((each) => each < at));
    const after = started >= at && started < until;
    return after || (failed.reaches_back && started <= at && started > since);
  });
}
