/** Whether an address leads anywhere: the screen is for this role, and what it is about is on this phone. */
import type { Held } from "../store";
import type { Role } from "../wire/types";
import type { Params } from "../router";
import type { AppRoute } from "./index";

export type Access = "open" | "not_for_role" | "not_found";

/** The kinds of record that an address can name. */
export const NAMED = [
  "client",
  "facility",
  "round",
  "booking",
  "visit",
  "referral",
  "mishap",
  "kit_thing",
  "kit_load",
  "staff",
  "vehicle",
  "paper",
  "price_item",
  "sale",
  "invoice",
] as const;
type Named = (typeof NAMED)[number];
/** Null while it is not read yet. */
export type OnPhone = { [K in Named]: readonly Held<K>[] | null };

export function access(
  { roles }: Pick<AppRoute, "roles">,
  params: Params,
  role: Role | undefined,
  phone: OnPhone,
): Access {
  if (role !== undefined && roles !== undefined && !roles.includes(role)) return "not_for_role";
  const named = NAMED.filter((kind) => kind in params);
  return named.every((kind) => isHere(phone, kind, params[kind])) ? "open" : "not_found";
}

/** A record without its client's card can't be shown either. */
function isHere(phone: OnPhone, kind: Named, id: string | undefined): boolean {
  const held: readonly Held<Named>[] | null = phone[kind];
  if (held === null) return true;
  const row = held.find((each) => each.id === id)?.row;
  if (row === undefined) return false;
  return "client" in row ? isHere(phone, "client", row.client) : true;
}
