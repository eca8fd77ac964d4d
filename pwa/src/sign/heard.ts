/** What an answer of the server, or none, means for a client's phone. Pure. */
import { HttpFault } from "../wire/call";

/** Nothing more can be done with this link on this phone. refused: the server does not take what it is sent. */
export type End = "over" | "taken" | "answered" | "refused";
/** no_line: the server was not reached. not_yet: it does not know the link so far. trouble: it could not just now. */
export type Wait = "no_line" | "not_yet" | "trouble";
export type Heard = { end: End } | { wait: Wait };

const ENDS: Record<string, End> = {
  link_over: "over",
  link_taken: "taken",
  link_answered: "answered",
};
const WAITS: Record<string, Wait> = {
  link_unknown: "not_yet",
  no_connection: "no_line",
  not_our_server: "no_line",
};

/** In HTTP, that it may be otherwise later: not found, too slow, too early, too many (RFC 9110, 8470, 6585). */
const LATER: readonly number[] = [404, 408, 425, 429];

/** Whatever it is that this page does not know ends nothing: it tries again. */
export function heardOf(fault: unknown): Heard {
  const { code, status } = fault instanceof HttpFault ? fault : { code: "", status: 0 };
  const end = Object.hasOwn(ENDS, code) ? ENDS[code] : undefined;
  if (end !== undefined) return { end };
  const wait = Object.hasOwn(WAITS, code) ? WAITS[code] : undefined;
  if (wait !== undefined) return { wait };
  return isRefusal(code, status) ? { end: "refused" } : { wait: "trouble" };
}

/** The server's own word, which would be the same again. What has no code of its own is from in front of it. */
function isRefusal(code: string, status: number): boolean {
  const ofClient = status >= 400 && status < 500;
  return ofClient && !LATER.includes(status) && code !== "server_trouble";
}

/** So many tries take a minute and a half. A link that was sent is known by then, or else it may be mistyped. */
export const MANY_TRIES = 7;
const FIRST_MS = 2_000;
const LONGEST_MS = 30_000;

/** How long to wait after so many tries in vain, in milliseconds. */
export function pauseAfter(tries: number): number {
  return Math.min(FIRST_MS * 2 ** (tries - 1), LONGEST_MS);
}
