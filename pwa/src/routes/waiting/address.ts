/** The address of a time that became free. */
import type { Params } from "../../router";
import type { Freed } from "./waits";

export function addressOf({ booking, staff, day, clock, minutes }: Freed): string {
  return `/booking/${booking}/freed/${staff}/${day}/${clock.replace(":", "")}/${String(minutes)}`;
}

export function freedAt(params: Params): Freed {
  const { booking = "", staff = "", day = "", clock = "", long = "" } = params;
  const at = `${clock.slice(0, 2)}:${clock.slice(2)}`;
  return { booking, staff, day, clock: at, minutes: Number(long) };
}
