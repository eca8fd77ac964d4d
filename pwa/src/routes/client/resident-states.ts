/**
 * What a round needs to know of a resident: whether consent and health screen still speak for a visit on a day, and
 * between which days the next one is in time. A coordinator's phone was told the days alone; others have the records.
 */
import type { BookJson } from "../../domain/screening";
import {
  consentOn,
  type ConsentOn,
  consentUntil,
  screenOn,
  type ScreenOn,
  screenUntil,
} from "../../domain/schedule/residents";
import type { Window } from "../../domain/schedule/due-visits";
import type { Held } from "../../store";
import type { Day } from "../../wire/types";
import { dayKey } from "../../words/format";
import { nextDue } from "../due/due-list";
import type { AnyConsent } from "./decided";
import { decidedOf } from "./decided";
import { thatCount } from "./file";

/** A coordinator is told no day between the two. */
export type Span = Pick<Window, "first" | "last"> & Partial<Pick<Window, "day">>;
/** `consent_until` is undefined where a consent is on record and nobody has told its day. */
export interface Told {
  consent_until: Day | null | undefined;
  screen_until: Day | null;
  due: Span | null;
}
export interface States {
  consent: ConsentOn;
  screen: ScreenOn;
}

const RENEW_DAYS = 365;
const RECENT_DAYS = 91;

interface Records {
  screens: readonly Held<"health_screen">[];
  said: readonly AnyConsent[];
  visits: readonly Held<"visit">[];
}

export function toldBy(
  row: Held<"resident_state">["row"] | undefined,
  said: readonly AnyConsent[],
): Told {
  const none = said.every((one) => one.row.withdrawn_at !== null);
  const until = row ? row.consent_until : undefined;
  return {
    consent_until: none ? null : until,
    screen_until: row?.screen_until ?? null,
    due: dueBy(row),
  };
}

export function dueBy(row: Held<"resident_state">["row"] | undefined): Span | null {
  return row?.due_first && row.due_last ? { first: row.due_first, last: row.due_last } : null;
}

export function toldFrom(
  { screens, said, visits }: Records,
  client: Held<"client">["row"],
  book: BookJson,
  now: Date,
): Told {
  const { settings } = book;
  const agreed = decidedOf(said, now).treatment.standing.map(({ row }) => ({
    day: dayKey(row.signed_at),
    by_representative: row.signer_role === "representative",
  }));
  const when = ({ row }: Held<"health_screen">) => row.screened_at;
  const [newest] = thatCount(screens, when, now, settings.screen_valid_hours).counting;
  return {
    consent_until: consentUntil(
      agreed,
      client.decides_for_self,
      settings.consent_renew_days ?? RENEW_DAYS,
    ),
    screen_until: screenUntil(
      newest ? dayKey(when(newest)) : null,
      settings.screen_recent_days ?? RECENT_DAYS,
    ),
    due: nextDue(visits, client, dayKey),
  };
}

export function statesOn(told: Told, day: Day): States {
  return {
    consent: told.consent_until === undefined ? "stands" : consentOn(told.consent_until, day),
    screen: screenOn(told.screen_until, day),
  };
}
