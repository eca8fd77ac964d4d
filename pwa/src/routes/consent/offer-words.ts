/** How far a link to sign has come, in words. */
import { type Offer, offerState } from "../../domain/offers";
import { byServer } from "../../parts/server-time";
import { t } from "../../words";
import { dayAndTime, dayKey, time } from "../../words/format";

export function offerWords(offer: Offer, now: Date): string {
  const state = offerState(offer, byServer(now));
  const { open_until, opened_at, answered_at } = offer.row;
  const at = { open: open_until, opened: opened_at, answered: answered_at };
  const moment = state in at ? at[state as keyof typeof at] : null;
  return t(`offer.state.${state}`, { at: moment === null ? "" : when(moment, now) });
}

function when(moment: string, now: Date): string {
  return dayKey(moment) === dayKey(now) ? time(moment) : dayAndTime(moment);
}
