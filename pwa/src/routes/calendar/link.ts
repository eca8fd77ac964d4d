/** The link for somebody's own calendar app: where it leads, and which of those on the phone is whose. */
import type { Held } from "../../store";
import type { Id } from "../../wire/types";

export type HeldLink = Held<"calendar_link">;

/** What is kept of a link until it is in the calendar. The server never has the secret. */
export interface LinkForm {
  link: Id | null;
  secret: string;
}

export function blankLink(): LinkForm {
  return { link: null, secret: "" };
}

export function addressOf(origin: string, secret: string): string {
  return `${origin}/api/calendar/${secret}.ics`;
}

/** One's own, and, as an owner has them, those of others. */
export function sorted(
  links: readonly HeldLink[],
  staff: Id,
): { own: HeldLink | null; others: HeldLink[] } {
  return {
    own: links.find(({ row }) => row.staff === staff) ?? null,
    others: links.filter(({ row }) => row.staff !== staff),
  };
}

/** Whether it can still be shown: it was made on this phone, was not put away, and has not ended. */
export function isShown(form: LinkForm, own: HeldLink | null): boolean {
  return form.secret !== "" && own !== null && form.link === own.id;
}
