/** What a check-in suggests. Check: our own rule. */
import { describe, expect, it } from "vitest";
import type { Held } from "../../store";
import { backBy, lacking, longer, suggestedCheckIn } from "./form";

const NOW = new Date("2026-03-02T13:02:00Z");

function booked(starts_at: string, more: object = {}) {
  const row = { staff: "me", state: "booked", starts_at, minutes: 45, ...more };
  return { id: starts_at, row } as Held<"booking">;
}

function told(began_at: string, tell_name: string, staff = "me") {
  return { id: began_at, row: { staff, began_at, tell_name } } as Held<"watch">;
}

describe("a check-in", () => {
  it("is half an hour after the last visit of the day, on five minutes", () => {
    const bookings = [
      booked("2026-03-02T14:01:00Z"),
      booked("2026-03-02T16:01:00Z", { state: "cancelled" }),
      booked("2026-03-02T17:00:00Z", { staff: "other" }),
      booked("2026-03-03T08:00:00Z"),
    ];
    expect(suggestedCheckIn(bookings, [], "me", NOW).clock).toBe("15:20");
  });

  it("is in two hours where nothing is booked any more", () => {
    expect(suggestedCheckIn([booked("2026-03-02T09:00:00Z")], [], "me", NOW).clock).toBe("15:05");
  });

  it("tells whom it told last time", () => {
    const all = [told("2026-03-01T09:00:00Z", "Noa"), told("2026-02-01T09:00:00Z", "Bo")];
    const others = told("2026-03-02T09:00:00Z", "Al", "other");
    expect(suggestedCheckIn([], [...all, others], "me", NOW).tell_name).toBe("Noa");
  });

  it("that is past by the clock is meant for tomorrow", () => {
    expect(backBy("13:03", NOW).toISOString()).toBe("2026-03-02T13:03:00.000Z");
    expect(backBy("13:02", NOW).toISOString()).toBe("2026-03-03T13:02:00.000Z");
  });

  it("is put off by half an hour, from now on where its time is over", () => {
    expect(longer("2026-03-02T13:30:00Z", NOW).toISOString()).toBe("2026-03-02T14:00:00.000Z");
    expect(longer("2026-03-02T12:00:00Z", NOW).toISOString()).toBe("2026-03-02T13:35:00.000Z");
  });

  it("needs a time, a name and an address that can be one", () => {
    const form = { clock: "", reach_at: "", tell_name: " ", tell_email: "noa@home" };
    expect(lacking(form)).toEqual(["check_in.clock", "check_in.tell_name", "check_in.tell_email"]);
    expect(
      lacking({ ...form, clock: "15:00", tell_name: "Noa", tell_email: "noa@home.test" }),
    ).toEqual([]);
  });
});
