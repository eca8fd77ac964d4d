/** How far a link to sign on the client's own phone has come. Pure; the times in a row are the server's. */
import type { Instant } from "../wire/types";

/**
 * waiting: not with the server yet, so the link opens nowhere. open: nobody has opened it. opened: on the client's
 * phone. over: its time has passed. ended: taken back.
 */
export type OfferState = "waiting" | "open" | "opened" | "answered" | "over" | "ended";

/** `version` is 0 until the server has it. */
export interface Offer {
  version: number;
  row: {
    open_until: Instant;
    opened_at: Instant | null;
    answered_at: Instant | null;
    ended_at: Instant | null;
  };
}

/** For how long after its last opening an answer is taken; the server's rule. */
const ANSWERS_FOR_MS = 7 * 24 * 3600 * 1000;

/** `at` is by the server's clock: the phone's own may be hours off. */
export function offerState({ version, row }: Offer, at: Date): OfferState {
  if (row.answered_at !== null) return "answered";
  if (row.ended_at !== null) return "ended";
  if (version === 0) return "waiting";
  const closes = Date.parse(row.open_until);
  if (row.opened_at === null) return at.getTime() < closes ? "open" : "over";
  return at.getTime() < closes + ANSWERS_FOR_MS ? "opened" : "over";
}

/** An answer may still come by it. */
export function stillAwaited(state: OfferState): boolean {
  return state === "waiting" || state === "open" || state === "opened";
}
