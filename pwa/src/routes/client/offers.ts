/** The links by which an answer of one client may still come. */
import { offerState, stillAwaited } from "../../domain/offers";
import { byServer } from "../../parts/server-time";
import type { Held } from "../../store";
import type { ClientFile } from "./file";

export function awaitedOffers({ offers, at }: ClientFile): readonly Held<"signing_offer">[] {
  const now = byServer(new Date(at));
  return offers.filter((offer) => stillAwaited(offerState(offer, now)));
}

export function awaits(file: ClientFile): boolean {
  return awaitedOffers(file).length > 0;
}
