/** How far the phone's clock is off the server's, from one question and its answer. Pure. */

/**
 * Seconds by which the phone's clock is ahead; negative where it is behind. The server wrote `server` somewhere
 * between the asking and the answer, so what lies between them on the phone's clock counts as right.
 */
export function secondsAhead(server: string, asked: Date, answered: Date): number {
  const there = Date.parse(server);
  if (there < asked.getTime()) return Math.round((asked.getTime() - there) / 1000);
  if (there > answered.getTime()) return Math.round((answered.getTime() - there) / 1000);
  return 0;
}

/** What the server's clock says at `at` of the phone's; the same where nobody has measured it yet. */
export function serverTime(at: Date, ahead: number | null): Date {
  return new Date(at.getTime() - (ahead ?? 0) * 1000);
}
