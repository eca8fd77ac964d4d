import fc from "fast-check";
import { describe, expect, it } from "vitest";

import { type AnyRow, changesOf, COMMAND_NAMES, type Made } from "../../src/domain/effects";
import { waitingReferrals } from "../../src/domain/referrals";
import type { RowOf } from "../../src/domain/rows";
import type { CommandArgs, CommandName } from "../../src/domain/commands";

const MADE: Made = {
  device: "phone",
  staff: "me",
  name: "Mara Invented",
  at: "2026-11-25T15:00:00Z",
  rulebook: "b".repeat(64),
};

class Phone {
  readonly rows = new Map<string, AnyRow>();
  readonly made = { ...MADE };

  do<N extends CommandName>(name: N, args: CommandArgs[N]): this {
    for (const { kind, id, becomes } of changesOf(name, { ...args }, this.made)) {
      for (const place of id === null ? this.#of(kind) : [`${kind}/${id}`]) {
        const row = becomes(this.rows.get(place) ?? null);
        if (row === null) this.rows.delete(place);
        else this.rows.set(place, row);
      }
    }
    return this;
  }

  #of(kind: string): string[] {
    return [...this.rows.keys()].filter((place) => place.startsWith(`${kind}/`));
  }

  /** The letters that Attention lists. */
  waiting(): string[] {
    const letters = this.#of("referral").map((place) => ({
      id: place.slice("referral/".length),
      row: this.rows.get(place) as unknown as RowOf<"referral">,
    }));
    return waitingReferrals(letters, [], (at) => at.slice(0, 10)).map(({ id }) => id);
  }

  at(place: string): AnyRow | undefined {
    return this.rows.get(place);
  }
}

const SCREEN: CommandArgs["record_screen"] = {
  screen: "s",
  client: "c",
  answers: { diabetes: true },
  answered_by: "client",
  answered_by_name: "",
  screened_at: "2026-11-25T14:50:00Z",
  shown_outcome: "refer_first",
  seen_screens: ["r"],
};

const VISIT: CommandArgs["complete_visit"] = {
  visit: "v",
  booking: "b",
  client: "c",
  screen: "s",
  check: "k",
  consent: "t",
  seen_booking: 3,
  started_at: "2026-11-25T15:00:00Z",
  ended_at: "2026-11-25T15:40:00Z",
  ended_early: "",
  bits: [],
  softeners: [],
  cracks: [],
  stop_signs: [],
  left_alone: [],
  work_done: [],
  note: "",
  aftercare: [],
  weeks_until_next: 6,
};

const BOOKING: CommandArgs["book_visit"] = {
  booking: "b",
  client: "c",
  staff: "me",
  starts_at: "2026-11-25T15:00:00Z",
  minutes: 45,
  place: "home",
};

describe("a health screen", () => {
  it("that refers makes the referral at once, under its own id, unanswered", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    expect(phone.at("health_screen/s")).toMatchObject({
      outcome: "refer_first",
      staff: "me",
      seen: ["r"],
    });
    expect(phone.at("referral/s")).toMatchObject({
      client: "c",
      screen: "s",
      check: null,
      level: "refer_first",
      answer_recorded_at: null,
      entered_in_error: false,
    });
  });

  it("that asks for a clearance makes the letter at once", () => {
    const asks = { ...SCREEN, shown_outcome: "needs_clearance" as const };
    expect(new Phone().do("record_screen", asks).at("referral/s")).toMatchObject({
      level: "needs_clearance",
      answer_recorded_at: null,
    });
  });

  it.each(["go", "go_with_limits"] as const)("with %s makes none", (outcome) => {
    const phone = new Phone().do("record_screen", { ...SCREEN, shown_outcome: outcome });
    expect(phone.at("referral/s")).toBeUndefined();
  });

  it("entered in error stays, marked, and its referral too", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    phone.do("mark_entered_in_error", { what: "health_screen", row: "s", reason: "wrong client" });
    expect(phone.at("health_screen/s")).toMatchObject({ entered_in_error: true });
    expect(phone.at("referral/s")).toMatchObject({ entered_in_error: true });
  });

  it("entered in error waits for nobody, by each of its letters, until one has a no", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    const first = phone.at("referral/s") ?? {};
    phone.rows.set("referral/second", first).set("referral/other", { ...first, screen: "t" });
    const slip = { what: "health_screen", row: "s", reason: "wrong client" } as const;
    expect(phone.waiting()).toEqual(["s", "second", "other"]);
    expect(phone.do("mark_entered_in_error", slip).waiting()).toEqual(["other"]);
    const no = {
      clinician: "Dr Invented",
      clinician_role: "gp",
      answer: "No.",
      verdict: "may_not",
    } as const;
    for (const referral of ["s", "second"])
      phone.do("record_referral_answer", { ...no, referral, answered_on: "2026-11-26" } as const);
    expect(phone.waiting()).toEqual(["s", "second", "other"]);
    expect(phone.do("mark_entered_in_error", slip).waiting()).toEqual(["s", "second", "other"]);
  });
});

describe("a referral's answer", () => {
  it("keeps the moment of the first one", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    const answer = {
      referral: "s",
      clinician: "Dr Invented",
      clinician_role: "gp",
      answered_on: "2026-11-26",
      answer: "Fine.",
    };
    phone.do("record_referral_answer", answer);
    const first = phone.at("referral/s")?.["answer_recorded_at"];
    expect(first).toBe(MADE.at);
    phone.made.at = "2026-11-26T15:00:00Z";
    phone.do("record_referral_answer", { ...answer, answer: "Fine, again.", verdict: "may" });
    expect(phone.at("referral/s")).toMatchObject({
      answer_recorded_at: MADE.at,
      answer: "Fine, again.",
    });
  });

  it("that says no takes the moment away, until a later yes", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    const said = { referral: "s", clinician: "Dr Invented", clinician_role: "gp", answer: "So." };
    const at = (hour: string, verdict: "may" | "may_not") => {
      phone.made.at = `2026-11-26T${hour}:00:00Z`;
      phone.do("record_referral_answer", { ...said, answered_on: "2026-11-26", verdict });
      return phone.at("referral/s")?.["answer_recorded_at"];
    };
    expect(at("10", "may")).toBe("2026-11-26T10:00:00Z");
    expect(at("11", "may_not")).toBeNull();
    expect(at("12", "may")).toBe("2026-11-26T12:00:00Z");
  });

  it("of whoever writes it down lets nobody go; their no holds", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    const own = {
      ...{ referral: "s", clinician: "Dr. MARA  Invented", clinician_role: "gp", answer: "So." },
      answered_on: "2026-11-26",
    };
    phone.do("record_referral_answer", { ...own, verdict: "may" });
    phone.do("record_referral_answer", { ...own, verdict: "may_with_conditions" });
    phone.do("record_referral_answer", own);
    expect(phone.at("referral/s")).toMatchObject({ answer_recorded_at: null, answers: [] });
    phone.do("record_referral_answer", { ...own, verdict: "may_not" });
    expect(phone.at("referral/s")?.["answers"]).toMatchObject([{ verdict: "may_not" }]);
  });

  it("and what was done with it are added to what is there", () => {
    const phone = new Phone().do("record_screen", SCREEN);
    const step = { referral: "s", how: "", to: "", note: "", done_at: MADE.at } as const;
    phone.do("record_referral_step", { ...step, step: "1", what: "printed" });
    phone.do("record_referral_step", { ...step, step: "2", what: "acknowledged", to: "Dr I" });
    expect(phone.at("referral/s")).toMatchObject({
      steps: [
        { what: "printed", staff: "me" },
        { what: "acknowledged", to: "Dr I" },
      ],
    });
  });
});

it("a clearance by whoever writes it down covers nothing", () => {
  const phone = new Phone().do("record_clearance", {
    ...{ clearance: "k", client: "c", clinician: "Invented, Mara", clinician_role: "technician" },
    ...{ given_on: "2026-11-25", expires_on: "2026-12-25", covers: ["kidney"], scope: "Filing" },
  });
  expect(phone.at("clearance/k")).toBeUndefined();
});

describe("a clearance that is withdrawn", () => {
  it("says so, and from when; of two the earlier counts", () => {
    const phone = new Phone().do("record_clearance", {
      clearance: "k",
      client: "c",
      clinician: "Dr Invented",
      clinician_role: "gp",
      given_on: "2026-11-25",
      expires_on: "2026-12-25",
      covers: ["kidney"],
      scope: "Filing",
    });
    expect(phone.at("clearance/k")).toMatchObject({ withdrawn_at: null, recorded_at: MADE.at });
    for (const hour of ["15", "14", "16"]) {
      const withdrawn_at = `2026-11-25T${hour}:00:00Z`;
      phone.do("withdraw_clearance", { clearance: "k", reason: hour, withdrawn_at });
    }
    expect(phone.at("clearance/k")).toMatchObject({
      withdrawn_at: "2026-11-25T14:00:00Z",
      withdrawn_reason: "14",
    });
  });
});

describe("a link to sign", () => {
  const ABLE = { understands: true, keeps: true, weighs: true, says: true };

  it("opens for an hour, until the server says for how long, and ends when it is taken back", () => {
    const phone = new Phone().do("offer_signing", {
      ...{ offer: "o", client: "c", offered_at: "2026-11-25T12:00:00Z", language: "en" },
      ...{ token_sha256: "0".repeat(64), sheet: "s", how: "drawn", own_wish: true },
      ...{ signer_name: "Ana Invented", signer_role: "client", ground: "", authority: "" },
      ...{ capacity: ABLE, witness: "", place_kind: "client_home", place: "" },
      texts: [
        { consent: "k", text_id: "foot_care", purpose: "treatment", version: 1, text_hash: "" },
      ],
    });
    expect(phone.at("signing_offer/o")).toEqual({
      ...{ client: "c", staff: MADE.staff, purposes: ["treatment"] },
      ...{ offered_at: "2026-11-25T12:00:00Z", open_until: "2026-11-25T13:00:00.000Z" },
      ...{ opened_at: null, answered_at: null, ended_at: null },
    });
    phone.do("end_signing", { offer: "o", ended_at: "2026-11-25T12:10:00Z" });
    expect(phone.at("signing_offer/o")).toMatchObject({ ended_at: "2026-11-25T12:10:00Z" });
  });
});

describe("a calendar link", () => {
  it("takes the place of one's own before, leaves those of others, and goes when it is ended", () => {
    const phone = new Phone();
    const theirs = { staff: "colleague", made_at: MADE.at, fetched_on: null };
    phone.rows.set("calendar_link/x", theirs);
    for (const link of ["a", "b"]) phone.do("share_calendar", { link, secret_sha256: "" });
    expect(phone.at("calendar_link/a")).toBeUndefined();
    expect(phone.at("calendar_link/b")).toEqual({
      staff: MADE.staff,
      made_at: MADE.at,
      fetched_on: null,
    });
    phone.do("end_calendar", { link: "b" });
    expect(phone.at("calendar_link/b")).toBeUndefined();
    expect(phone.at("calendar_link/x")).toEqual(theirs);
  });
});

describe("a visit", () => {
  it("closes its booking when it is done", () => {
    const phone = new Phone().do("book_visit", BOOKING).do("complete_visit", VISIT);
    expect(phone.at("visit/v")).toMatchObject({
      state: "completed",
      record: { weeks_until_next: 6 },
    });
    expect(phone.at("booking/b")).toMatchObject({ state: "done" });
  });

  it("that ended early says so", () => {
    const phone = new Phone().do("complete_visit", { ...VISIT, ended_early: "skin turned pink" });
    expect(phone.at("visit/v")).toMatchObject({ state: "ended_early" });
  });
});

describe("who has a client", () => {
  it("is whoever registered the card, and who was assigned since", () => {
    const phone = new Phone();
    phone.rows.set("client/c", { name: "Ada", staff: ["me"] });
    phone.do("assign_client", { client: "c", staff: "colleague" });
    expect(phone.at("client/c")).toEqual({ name: "Ada", staff: ["colleague", "me"] });
    phone.do("unassign_client", { client: "c", staff: "me" });
    expect(phone.at("client/c")).toEqual({ name: "Ada", staff: ["colleague"] });
  });
});

describe("who has a facility", () => {
  it("is nobody at first, and then whoever it was given to", () => {
    const phone = new Phone();
    const house = { facility: "f", name: "House", address: "", phone: "" };
    phone.do("register_facility", house).do("assign_facility", { facility: "f", staff: "guest" });
    const times = [{ name: "Lunch", starts: "12:00", ends: "13:00" }];
    phone.do("amend_facility", { facility: "f", seen: 1, changes: { quiet_times: times } });
    expect(phone.at("facility/f")).toMatchObject({
      name: "House",
      staff: ["guest"],
      quiet_times: times,
    });
  });
});

describe("a consent", () => {
  it("keeps its witness on the phone, and not its signature", () => {
    const phone = new Phone().do("sign_consent", {
      consent: "t",
      client: "c",
      text_id: "foot_care",
      text_hash: "0".repeat(64),
      signer_name: "Ada",
      signer_role: "client",
      authority: "",
      witness: "Bo",
      presented: "read_aloud",
      own_wish: true,
      strokes: [[]],
      signed_at: MADE.at,
    });
    expect(phone.at("consent/t")).toMatchObject({ witness: "Bo", authority: "", staff: "me" });
    expect(phone.at("consent/t")).not.toHaveProperty("strokes");
  });
});

describe("a consent sheet", () => {
  const told: Omit<CommandArgs["record_consent_sheet"], "capacity" | "decisions"> = {
    sheet: "s",
    client: "c",
    language: "en",
    signer_name: "Ada",
    signer_role: "client",
    ground: "",
    authority: "",
    how: "drawn",
    witness: "",
    strokes: [],
    paper_photo: null,
    presented: "read_self",
    own_wish: true,
    said: "",
    place_kind: "client_home",
    place: "",
    device_kind: "technician_phone",
    shown_sha256: "0".repeat(64),
    decided_at: MADE.at,
  };
  const able = { understands: true, keeps: true, weighs: true, says: true };
  const one = (consent: string, purpose: "treatment" | "photos", agreed: boolean) => ({
    ...{ consent, purpose, agreed, text_id: purpose, version: 1, text_hash: "0".repeat(64) },
  });

  it("makes a row of each decision, and only a yes to the work is leave to work", () => {
    const decisions = [one("a", "treatment", true), one("b", "photos", true)];
    const phone = new Phone().do("record_consent_sheet", { ...told, capacity: able, decisions });
    expect(phone.at("consent/a")).toMatchObject({ agreed: true, counts: true, sheet: "s" });
    expect(phone.at("consent_choice/b")).toMatchObject({ purpose: "photos", signed_at: MADE.at });
    expect(phone.at("consent/a")).not.toHaveProperty("strokes");
  });

  it("gives no leave by a no, nor by a client of whom nobody said that they can decide", () => {
    const unsure = { ...able, weighs: null };
    const yes = [one("a", "treatment", true)];
    const no = [one("b", "treatment", false)];
    const phone = new Phone()
      .do("record_consent_sheet", { ...told, capacity: unsure, decisions: yes })
      .do("record_consent_sheet", { ...told, capacity: able, decisions: no });
    expect(phone.at("consent_choice/a")).toMatchObject({ agreed: true, counts: false });
    expect(phone.at("consent_choice/b")).toMatchObject({ agreed: false, counts: true });
  });
});

describe("an invoice", () => {
  const told: CommandArgs["issue_invoice"] = {
    ...{ invoice: "n", facility: "f", sales: ["s"], day: "2026-11-25", days: 30 },
    ...{ seller: "Us", buyer: "Them", reference: "", how_to_pay: "", first_number: 118 },
  };

  it("has no number until the server gives it one, and keeps what it was given", () => {
    const phone = new Phone().do("issue_invoice", told);
    expect(phone.at("invoice/n")).toMatchObject({ number: null, sales: ["s"], void_on: null });
    expect(phone.at("invoice/n")).not.toHaveProperty("first_number");
  });

  it("is taken back once", () => {
    const back = { invoice: "n", day: "2026-11-26", reason: "Wrong house" };
    const phone = new Phone().do("issue_invoice", told).do("void_invoice", back);
    phone.do("void_invoice", { ...back, day: "2026-11-27", reason: "" });
    expect(phone.at("invoice/n")).toMatchObject({
      ...{ void_on: "2026-11-26", void_reason: "Wrong house", sales: ["s"] },
    });
  });
});

describe("every effect", () => {
  it("keeps fields that this app does not know", () => {
    const phone = new Phone();
    phone.rows.set("booking/b", { client: "c", state: "booked", colour_of_door: "green" });
    phone.do("cancel_booking", { booking: "b", seen: 1, reason: "ill" });
    phone.do("book_visit", BOOKING);
    expect(phone.at("booking/b")).toMatchObject({ colour_of_door: "green", minutes: 45 });
  });

  it("of an amendment makes no row that is not here", () => {
    const phone = new Phone().do("amend_client", { client: "c", seen: 1, changes: { room: "9" } });
    expect(phone.rows.size).toBe(0);
  });

  it("twice is the same as once, whatever the arguments", () => {
    const commands = fc.record({
      name: fc.constantFrom(...COMMAND_NAMES),
      args: fc.record({
        what: fc.constantFrom("health_screen", "foot_check"),
        shown_outcome: fc.constantFrom("go", "refer_first"),
        changes: fc.record({ room: fc.string() }),
        ...Object.fromEntries(
          ["client", "booking", "visit", "screen", "check", "consent", "referral", "clearance"]
            .concat("staff", "facility", "incident", "device", "row", "offer")
            .concat("thing", "set", "lot", "product", "machine", "load", "solution", "checklist")
            .concat("step", "end", "use", "change", "vehicle", "travel", "invoice")
            .map((field) => [field, fc.constantFrom("one", "two")]),
        ),
        decisions: fc.array(
          fc.record({
            consent: fc.constantFrom("one", "two"),
            purpose: fc.constantFrom("treatment", "photos"),
            agreed: fc.boolean(),
          }),
          { maxLength: 2 },
        ),
        card: fc.constantFrom(
          { kind: "set", name: "Heels", instruments: [] },
          { kind: "lot", name: "Gloves", supply: "gloves", count: 50 },
          { kind: "lot", name: "Gloves", supply: "gloves", count: 70 },
        ),
        new: fc.constantFrom([], [{ client: "one", name: "Ana", born: "1941-03-31" }]),
        changed: fc.constantFrom([], [{ client: "two", seen: 7, changes: { room: "9" } }]),
        visits: fc.array(
          fc.record({
            booking: fc.constantFrom("one", "two"),
            client: fc.constantFrom("one", "two"),
            seen: fc.constantFrom(null, 7),
            starts_at: fc.constantFrom(MADE.at, "2026-11-25T16:00:00Z"),
          }),
          { maxLength: 2 },
        ),
        stops: fc.subarray([
          { booking: "one", seen: 7 },
          { booking: "two", seen: 7 },
        ]),
        after: fc.subarray(["one", "two"]),
        sets: fc.constantFrom([], [{ set: "one", step: "two", after: [] }]),
        by: fc.integer({ min: -9, max: 9 }),
        kit: fc.constantFrom(
          { sets: [], items: [], products: [] },
          {
            sets: [{ use: "one", set: "two", after: [], at: MADE.at }],
            items: [{ use: "two", lot: "one", count: 3, at: MADE.at }],
            products: [],
          },
        ),
        ...Object.fromEntries(
          ["at", "started_at", "ended_at", "mixed_at"].map((field) => [
            field,
            fc.constantFrom(MADE.at, "2026-11-25T16:00:00Z"),
          ]),
        ),
        texts: fc.constant([{ consent: "one", purpose: "treatment" }]),
        offered_at: fc.constant(MADE.at),
        capacity: fc.constant({}),
        note: fc.string(),
        reason: fc.string(),
        answer: fc.string(),
        clinician: fc.constantFrom("Dr Invented", MADE.name),
      }),
    });
    fc.assert(
      fc.property(fc.array(commands, { maxLength: 8 }), commands, (before, last) => {
        const run = (list: (typeof last)[]) => {
          const phone = new Phone();
          for (const { name, args } of list) phone.do(name, args as never);
          return phone.rows;
        };
        expect(run([...before, last, last])).toEqual(run([...before, last]));
      }),
    );
  });

  it("of a command from a newer app is nothing", () => {
    expect(changesOf("rinse_the_moon", {}, MADE)).toEqual([]);
    expect(changesOf("constructor", {}, MADE)).toEqual([]);
  });
});

describe("two cards that become one", () => {
  const CARD = { name: "Ana Invented", born: "1944-03-01", facility: null, decides_for_self: true };
  const card = {
    ...CARD,
    address: "",
    phone: "",
    email: "",
    room: "",
    contact_name: "",
    contact_phone: "",
    contact_role: "",
    note: "",
  };

  it("have everything under the one that stays, at once", () => {
    const phone = new Phone()
      .do("register_client", { ...card, client: "stays" })
      .do("register_client", { ...card, client: "c" })
      .do("record_screen", SCREEN)
      .do("book_visit", BOOKING)
      .do("complete_visit", VISIT)
      .do("record_screen", { ...SCREEN, screen: "other", client: "somebody else" })
      .do("merge_clients", { stays: "stays", goes: "c" });
    expect(phone.at("client/c")).toBeUndefined();
    expect(phone.at("client/stays")).toMatchObject({ merged: ["c"] });
    for (const place of ["health_screen/s", "referral/s", "booking/b", "visit/v"]) {
      expect(phone.at(place)).toMatchObject({ client: "stays" });
    }
    expect(phone.at("health_screen/other")).toMatchObject({ client: "somebody else" });
  });

  it("lead on from a row that came before the app knew of it", () => {
    const phone = new Phone();
    phone.rows.set("client/stays", { name: "Ana Invented", staff: [] });
    phone.do("merge_clients", { stays: "stays", goes: "c" });
    expect(phone.at("client/stays")).toMatchObject({ merged: ["c"] });
  });
});

describe("a card from an app that did not ask for it", () => {
  it("is one of somebody who gets visits", () => {
    const asked = { client: "c", name: "Ana Invented", born: "1944-03-01" };
    const changes = changesOf("register_client", asked, MADE);
    expect(changes[0]?.becomes(null)).toMatchObject({ status: "active", merged: [] });
  });
});

describe("the waiting list", () => {
  const wish = { first: "2027-01-05", last: null, times: [], minutes: 30, staff: null };
  const entry = { waiting: "w", seen: null, client: "c", since: MADE.at, ...wish };

  it("keeps a note that is not sent, and lets who stopped wait again", () => {
    const phone = new Phone().do("wait_for_visit", { ...entry, note: "Rings back" });
    expect(phone.at("waiting/w")).toEqual({
      ...{ ...wish, client: "c", since: MADE.at, note: "Rings back" },
      ...{ state: "waiting", reason: "" },
    });
    phone.do("stop_waiting", { waiting: "w", seen: 1, code: "no_longer" });
    expect(phone.at("waiting/w")).toMatchObject({ state: "stopped", reason: "no_longer" });
    phone.do("wait_for_visit", { ...entry, seen: 2, minutes: 45 });
    const again = { state: "waiting", reason: "", minutes: 45, note: "Rings back" };
    expect(phone.at("waiting/w")).toMatchObject(again);
  });
});

describe("what went wrong", () => {
  const MISHAP: CommandArgs["report_mishap"] = {
    mishap: "m",
    client: "c",
    visit: "v",
    kind: "nick",
    happened_at: "2026-11-25T15:10:00Z",
    what_happened: "",
    places: [],
    first_aid_given: "",
    told: [],
    follow_up_on: "2026-11-26",
    photo: null,
  };
  const added = {
    mishap: "m",
    entry: "1",
    added_at: MADE.at,
    note: "Called",
    told: [],
    outcome: "",
  };

  it("is there at once, and keeps all that is added, in its order", () => {
    const phone = new Phone().do("report_mishap", MISHAP);
    expect(phone.at("mishap/m")).toMatchObject({ client: "c", visit: "v", closed_at: null });
    // Saved by an app that did not ask yet whether the visit stopped.
    expect(phone.at("mishap/m")).toMatchObject({ visit_stopped: false });
    phone.do("add_to_mishap", { ...added, follow_up_on: "2026-11-30" });
    phone.do("add_to_mishap", { ...added, entry: "2", note: "Again", follow_up_on: null });
    expect(phone.at("mishap/m")).toMatchObject({
      follow_up_on: "2026-11-30",
      entries: [{ note: "Called" }, { note: "Again", staff: "me" }],
    });
    phone.do("add_to_mishap", { ...added, entry: "3", follow_up_on: null, outcome: "Healed" });
    expect(phone.at("mishap/m")).toMatchObject({ follow_up_on: null });
  });

  it("is closed by its owner, and opened again by what is added after", () => {
    const phone = new Phone().do("report_mishap", MISHAP);
    phone.do("close_mishap", { mishap: "m", entry: "0", note: "Read", seen: 3 });
    expect(phone.at("mishap/m")).toMatchObject({ closed_at: MADE.at, entries: [{ closes: true }] });
    phone.do("add_to_mishap", { ...added, follow_up_on: null });
    expect(phone.at("mishap/m")).toMatchObject({ closed_at: null });
    expect(phone.at("mishap/m")?.["entries"]).toHaveLength(2);
  });
});
