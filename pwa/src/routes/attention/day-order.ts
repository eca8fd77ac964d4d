/** The day whose order a refused entry was about. */
import type { CommandArgs } from "../../domain/commands";
import type { AttentionItem } from "../../store";
import type { Day, Id } from "../../wire/types";
import { dayKey } from "../../words/format";

/** Null unless the entry moved several visits of whoever asks (`me`) within one day that is not over yet. */
export function dayOrdered(
  { name, args }: Pick<AttentionItem, "name" | "args">,
  me: Id | undefined,
  today: Day,
): Day | null {
  if (name !== "arrange_visits") return null;
  const { visits } = args as CommandArgs["arrange_visits"];
  const days = new Set(visits.map(({ starts_at }) => dayKey(starts_at)));
  const [day] = days;
  const mine = visits.every(({ seen, staff }) => seen !== null && staff === me);
  return visits.length > 1 && days.size === 1 && mine && day && day >= today ? day : null;
}
