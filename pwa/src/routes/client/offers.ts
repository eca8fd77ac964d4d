/** The links by which an answer of one client may still come. */
import { offerState, stillAwaited } from "../../domain/offers";
import type { Held } from "../../store";
import type { ClientFile } from "./file";

export function awaitedOffers({ offers, at }: ClientFile): readonly Held<"signing_offer">[] {
  return offers.filter((offer) => stillAwaited(offerState(offer, new Date(at))));
}

export function awaits(file: ClientFile): boolean {
  return awaitedOffers(file).length > 0;
}
