/** What a form of a booking asks about before it is saved, and whether a person has said to mean it. */
import { fromStore } from "svelte/store";
import type { RowOf } from "../../domain/rows";
import { type BookJson, travelOf } from "../../domain/screening/book";
import type { Code, Squeeze } from "../../domain/schedule/objections";
import { ticking } from "../../parts/ticking";
import { store, type Held } from "../../store";
import type { Id } from "../../wire/types";
import { againstEach, type DayAgainst, type Known, type Stand } from "./against";
import { pastStart } from "./past";
import type { When } from "./suggested";

export interface Doubts {
  readonly past: Date | null;
  readonly against: readonly Code[];
  readonly squeezes: readonly Squeeze[];
  readonly days: readonly DayAgainst[];
  /** There are some, and nobody has said to mean them. */
  readonly open: boolean;
  meant: boolean;
}

interface Form {
  when: When | null | undefined;
  client: Held<"client"> | undefined;
  moved?: { id: Id; row: Pick<RowOf<"booking">, "starts_at"> } | undefined;
  /** Where it is to stand on several days, those instead of the form's own. */
  stands?: readonly Stand[] | undefined;
}

/** All that this phone knows of what may speak against a time. */
export function knownHere(): () => Known {
  const { rows } = store;
  const bookings = fromStore(rows.live("booking"));
  const weeks = fromStore(rows.live("working_week"));
  const visits = fromStore(rows.live("visit"));
  const off = fromStore(rows.live("time_off"));
  const clients = fromStore(rows.live("client"));
  const facilities = fromStore(rows.live("facility"));
  const book = fromStore(store.rulebook);
  return () => ({
    bookings: bookings.current ?? [],
    weeks: weeks.current ?? [],
    off: off.current ?? [],
    visits: visits.current ?? [],
    clients: clients.current ?? [],
    facilities: facilities.current ?? [],
    travel: book.current && travelOf(book.current as unknown as BookJson),
  });
}

/** What was said counts for that time and those doubts: other ones are asked about anew. */
export function doubtsOf(form: () => Form): Doubts {
  const known = knownHere();
  const now = ticking();
  let meant = $state("");

  const stands = $derived.by(() => {
    const { when, moved, stands: several } = form();
    return several ?? (when ? [{ day: when.day, moved: moved?.id }] : []);
  });
  const past = $derived.by(() => {
    const { when, moved } = form();
    const day = stands[0]?.day;
    return when && day !== undefined
      ? pastStart({ ...when, day }, now(), moved?.row.starts_at)
      : null;
  });
  const days: DayAgainst[] = $derived.by(() => {
    const { when, client } = form();
    return when && client ? againstEach(when, stands, client, known()) : [];
  });
  const codes = $derived(unique(days.flatMap((each) => each.codes)));
  const asked = $derived(
    past === null && codes.length === 0 ? "" : JSON.stringify([form().when, past, days]),
  );

  return {
    get past() {
      return past;
    },
    get against() {
      return codes;
    },
    get squeezes() {
      return days.length === 1 ? (days[0]?.squeezes ?? []) : [];
    },
    get days() {
      return days;
    },
    get open() {
      return asked !== meant && asked !== "";
    },
    get meant() {
      return asked !== "" && asked === meant;
    },
    set meant(is) {
      meant = is ? asked : "";
    },
  };
}

function unique<T>(all: readonly T[]): T[] {
  return all.filter((one, place) => all.indexOf(one) === place);
}
