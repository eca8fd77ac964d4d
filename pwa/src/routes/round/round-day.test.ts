/** Check: our own rule. */
import { describe, expect, it } from "vitest";
import type { Held } from "../../store";
import type { Resident } from "./plan";
import { againOn, forNext, missed, standing, stopsOf } from "./round-day";

const round = (id: string, day: string) =>
  ({ id, version: 1, row: { facility: "f", day, state: "planned", note: "" } }) as Held<"round">;
const stop = (id: string, client: string, at: string, state: string, of = "1") =>
  ({
    id,
    version: 7,
    row: { client, starts_at: at, state, round: of },
  }) as unknown as Held<"booking">;

const ROUNDS = [round("2", "2026-12-09"), round("1", "2026-11-04")];
const BOOKINGS = [
  stop("b", "bo", "2026-11-04T10:30:00Z", "not_seen"),
  stop("a", "ana", "2026-11-04T10:00:00Z", "done"),
  stop("c", "cy", "2026-11-04T11:00:00Z", "not_seen"),
  stop("d", "di", "2026-11-04T11:30:00Z", "not_seen"),
  // Moved to another day.
  stop("m", "mo", "2026-11-05T11:30:00Z", "booked"),
  stop("b2", "bo", "2026-12-09T10:30:00Z", "booked", "2"),
  stop("c2", "cy", "2026-12-09T10:00:00Z", "done", "2"),
  stop("d2", "di", "2026-11-20T10:00:00Z", "done", ""),
];

describe("a round on its day", () => {
  it("has the visits of its day, in the order of the walk", () => {
    expect(stopsOf(round("1", "2026-11-04"), BOOKINGS).map(({ id }) => id)).toEqual([
      ...["a", "b", "c", "d"],
    ]);
  });

  it("is cancelled with what still stands", () => {
    const stops = stopsOf(round("2", "2026-12-09"), BOOKINGS);
    expect(standing(stops)).toEqual([{ booking: "b2", seen: 7 }]);
  });

  it("comes again on the same day of the week, over a change of the clock", () => {
    expect(againOn("2026-10-21", 2)).toBe("2026-11-04");
  });
});

describe("who is seen at the next one", () => {
  it("has who is due by then and who was not seen, without whom a visit or no consent keeps out", () => {
    const of = (client: string, state: string, consent = "stands", visit = false) =>
      ({ client, state, booking: visit ? {} : null, states: { consent } }) as unknown as Resident;
    const living = [
      ...[
        of("ana", "due"),
        of("bo", "open"),
        of("cy", "open", "missing"),
        of("di", "due", "", true),
      ],
      ...[of("ed", "overdue"), of("flo", "later")],
    ];
    const stops = stopsOf(round("1", "2026-11-04"), BOOKINGS);
    expect(forNext(living, stops)).toEqual(["ana", "bo", "ed"]);
  });
});

describe("who was not seen over several rounds", () => {
  it("leaves out whoever was seen since, at a round or by themselves", () => {
    expect(
      missed(ROUNDS, BOOKINGS).map(({ booking, day, next }) => [booking.id, day, next]),
    ).toEqual([["b", "2026-11-04", "2026-12-09"]]);
  });
});
