/** What a line of a file says, as the card shows it. Check: our own rule; the dates by hand. */
import { afterEach, expect, it } from "vitest";
import { setPlace } from "../../words/format";
import { valuesOf } from "./field-name";

const zone = { zone: "Europe/London", units: "mm" } as const;
const CARD = {
  name: "Ana",
  born: "1941-03-31",
  room: "",
  see_last: false,
} as unknown as Parameters<typeof valuesOf>[1];

afterEach(() => {
  setPlace(zone, ["en-GB"]);
});

it.each([
  ["en-GB", "31 March 1941"],
  ["en-US", "March 31, 1941"],
])("a new one's dates as %s writes them", (locale, born) => {
  setPlace(zone, [locale]);
  const given = { name: "Ana", born: "1941-03-31", room: "12", see_last: true };
  expect(valuesOf(given, undefined)).toEqual([
    `Date of birth: ${born}`,
    "Room: 12",
    "In a round: Seen last",
  ]);
});

it("a change beside what stands there until now", () => {
  setPlace(zone, ["en-GB"]);
  expect(valuesOf({ born: "1941-03-13", room: "12" }, CARD)).toEqual([
    "Date of birth: 13 March 1941 (until now 31 March 1941)",
    "Room: 12 (until now nothing)",
  ]);
});
