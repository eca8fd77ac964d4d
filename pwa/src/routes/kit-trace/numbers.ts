/** Whom to call about a client: the client, the person to contact, the house. */
import type { RowOf } from "../../domain/rows";

type Card = Pick<RowOf<"client">, "phone" | "contact_name" | "contact_phone">;
type House = Pick<RowOf<"facility">, "name" | "phone">;

export interface ToCall {
  /** Empty for the client. */
  who: string;
  phone: string;
}

/** Every number once. */
export function numbersOf(card: Card, house: House | undefined): ToCall[] {
  const all = [
    { who: "", phone: card.phone },
    { who: card.contact_name, phone: card.contact_phone },
    { who: house?.name ?? "", phone: house?.phone ?? "" },
  ];
  return all.filter(
    ({ phone }, at) => phone !== "" && at === all.findIndex((other) => other.phone === phone),
  );
}
