/** The card of a facility as a form: its corridors are typed one a line. */
import type { FacilityCard, QuietTime } from "../../domain/commands";
import { samePosition } from "../../domain/places/position";
import type { RowOf } from "../../domain/rows";

export interface HouseForm extends Omit<FacilityCard, "corridors"> {
  corridors: string;
  /** The card as it was when the form began, and its version. */
  began: { card: FacilityCard; seen: number } | null;
  /** What a refused change said, to be looked at again beside what the card says now. */
  again: Partial<FacilityCard>;
}

export function blankHouse(): HouseForm {
  return { ...formOf(cardOf({ name: "", address: "", phone: "" })), began: null, again: {} };
}

/** The card's own fields of a row; one from before the app was updated does not have them all. */
export function cardOf(
  row: Pick<
    RowOf<"facility">,
    "name" | "address" | "position" | "phone" | "quiet_times" | "corridors"
  >,
): FacilityCard {
  const { name, address, position = null, phone, quiet_times = [], corridors = [] } = row;
  return { name, address, position, phone, quiet_times, corridors };
}

export function formOf(card: FacilityCard): Omit<HouseForm, "began" | "again"> {
  return {
    ...card,
    quiet_times: card.quiet_times.map((one) => ({ ...one })),
    corridors: card.corridors.join("\n"),
  };
}

export function lines(text: string): string[] {
  return text
    .split("\n")
    .map((line) => line.trim())
    .filter((line) => line !== "");
}

export function changed(before: FacilityCard, form: HouseForm): Partial<FacilityCard> {
  const after: FacilityCard = {
    name: form.name.trim(),
    address: form.address.trim(),
    // A draft of before does not say.
    position: form.position ?? null,
    phone: form.phone.trim(),
    quiet_times: form.quiet_times.map((one) => ({ ...one, name: one.name.trim() })),
    corridors: lines(form.corridors),
  };
  const fields = Object.keys(after) as (keyof FacilityCard)[];
  return Object.fromEntries(
    fields
      .filter((field) =>
        field === "position"
          ? !samePosition(before.position, after.position)
          : JSON.stringify(before[field]) !== JSON.stringify(after[field]),
      )
      .map((field) => [field, after[field]]),
  );
}

/** Those that are not whole, or end before they start. */
export function wrongTimes(times: readonly QuietTime[]): QuietTime[] {
  return times.filter(
    ({ name, starts, ends }) =>
      name.trim() === "" || starts === "" || ends === "" || ends <= starts,
  );
}

export function namedTwice(corridors: string): boolean {
  const names = lines(corridors).map((name) => name.toLowerCase());
  return new Set(names).size < names.length;
}
