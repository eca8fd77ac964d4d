/** What may be done about a refusal, and where a card clashes. Check: our own rule. */
import { describe, expect, it } from "vitest";

import { COMMAND_NAMES } from "../../domain/effects";
import { blankCard, clashing } from "../client/card-form";
import { ends, wayOut } from "./ways";

const CODES = [
  ...["changed_elsewhere", "double_booked", "client_away", "booking_closed", "not_newest"],
  ...["not_found", "id_taken", "device_revoked", "not_allowed", "unknown_command", "date_too_late"],
  ...[
    "merged_already",
    "closed_already",
    "begun_by_another",
    "of_a_later_server",
    "toString",
    "__proto__",
  ],
];

describe("a refusal", () => {
  it("can always be taken off the list, by a choice that asks once more and stands last", () => {
    for (const name of COMMAND_NAMES)
      for (const code of CODES) {
        const { choices } = wayOut(name, code);
        expect(choices.filter(ends)).toEqual(choices.slice(-1));
      }
  });

  it("of an unknown code keeps the server's words and leads back to the form", () => {
    const plain = { words: null, choices: ["use_again", "put_aside"] };
    for (const code of ["of_a_later_server", "toString", "__proto__"])
      expect(wayOut("book_visit", code)).toEqual(plain);
  });

  it("of a set that was not given keeps the server's words, and leads to the set and the client", () => {
    for (const code of ["out_of_date", "changed_since", "of_a_later_server"])
      expect(wayOut("give_set", code)).toEqual({
        words: null,
        choices: ["open_thing", "open_client", "put_aside"],
      });
    expect(wayOut("give_set", "not_allowed")).toEqual(wayOut("sign_consent", "not_allowed"));
  });

  it("lets one keep either side of a card, but of a booking only look again", () => {
    expect(wayOut("amend_client", "changed_elsewhere").choices).toContain("keep_mine");
    expect(wayOut("move_booking", "changed_elsewhere").choices).not.toContain("keep_mine");
  });
});

describe("a refusal of something of the kit", () => {
  it("leads to the thing that is in the way, and back to the form where there is one", () => {
    expect(wayOut("register_thing", "label_taken").choices).toEqual([
      "open_thing",
      "use_again",
      "put_aside",
    ]);
    expect(wayOut("amend_thing", "changed_elsewhere").choices).toContain("open_thing");
    expect(wayOut("amend_thing", "changed_elsewhere").choices).not.toContain("open_booking");
    expect(wayOut("move_set", "clock_ahead").choices).toEqual(["open_thing", "put_aside"]);
  });
});

describe("two sides of a card", () => {
  it("clash only where a field was written and says something else now", () => {
    const now = { ...blankCard(), name: "Ada", phone: "555 0100", room: "14" };
    expect(clashing({ name: "Ada", phone: "555 0122", facility: null }, now)).toEqual(["phone"]);
  });
});
