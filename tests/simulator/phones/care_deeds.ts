/** What is done about a client's feet: records, bookings, visits. Null where there is nothing to do it to. */
import {
  daysOf,
  occurrenceId,
  ruleOf,
} from "../../../pwa/src/domain/schedule/repeats";
import type { Deed, Form, Hand } from "./hand";
import { kitUsed } from "./kit_deeds";

export async function recordScreen(hand: Hand): Promise<Form | null> {
  const shown_outcome = hand.one(["emergency", "go"]);
  const screen = {
    screen: hand.id(),
    answers: hand.health(),
    screened_at: hand.time(),
  };
  const about = await hand.withClient({ ...screen, shown_outcome });
  return about && hand.form("screen", about);
}

export async function recordFootCheck(hand: Hand): Promise<Form | null> {
  const screens = await hand.rows("health_screen");
  if (screens.length === 0) return null;
  const last = newest(screens, (held) => held.row.screened_at);
  const { id, row } =
    last !== undefined && hand.number(2) === 0 ? last : hand.one(screens);
  const check = {
    check: hand.id(),
    client: row.client,
    screen: id,
    checked_at: hand.time(),
  };
  return hand.form("check", { ...check, answers: hand.feet() });
}

export async function signConsent(hand: Hand): Promise<Form | null> {
  const about = await hand.withClient({
    consent: hand.id(),
    signed_at: hand.time(),
  });
  return about && hand.form("consent", about);
}

/** A yes to the work and a no to photos. */
export async function recordConsentSheet(hand: Hand): Promise<Form | null> {
  const about = await hand.withClient({
    sheet: hand.id(),
    decided_at: hand.time(),
  });
  if (about === null) return null;
  const { decisions } = hand.form("sheet", {}) as { decisions: object[] };
  const made = decisions.map((one) => ({ ...one, consent: hand.id() }));
  return hand.form("sheet", { ...about, decisions: made });
}

export async function offerSigning(hand: Hand): Promise<Form | null> {
  const made = { offer: hand.id(), sheet: hand.id(), offered_at: hand.time() };
  const token_sha256 = made.offer.replaceAll("-", "").repeat(2);
  const about = await hand.withClient({ ...made, token_sha256 });
  if (about === null) return null;
  const { texts } = hand.form("offer", {}) as { texts: object[] };
  const named = texts.map((one) => ({ ...one, consent: hand.id() }));
  return hand.form("offer", { ...about, texts: named });
}

export async function endSigning(hand: Hand): Promise<Form | null> {
  const offers = await hand.rows("signing_offer");
  if (offers.length === 0) return null;
  return { offer: hand.one(offers).id, ended_at: hand.time() };
}

export async function withdrawConsent(hand: Hand): Promise<Form | null> {
  const signed = await hand.rows("consent");
  if (signed.length === 0) return null;
  return {
    consent: hand.one(signed).id,
    reason: "",
    withdrawn_at: hand.time(),
  };
}

export async function recordClearance(hand: Hand): Promise<Form | null> {
  const days = { given_on: hand.day(), expires_on: hand.day(90) };
  const about = await hand.withClient({ clearance: hand.id(), ...days });
  return about && hand.form("clearance", about);
}

export async function referralStep(hand: Hand): Promise<Form | null> {
  const referrals = await hand.rows("referral");
  if (referrals.length === 0) return null;
  const about = {
    step: hand.id(),
    referral: hand.one(referrals).id,
    done_at: hand.time(),
  };
  const done = { how: "family", to: "Daughter Invented", note: "" };
  return { ...about, ...done, what: hand.one(["handed_over", "acknowledged"]) };
}

export async function answerReferral(hand: Hand): Promise<Form | null> {
  const referrals = await hand.rows("referral");
  if (referrals.length === 0) return null;
  const verdict = hand.one(["may", "may_with_conditions", "may_not"]);
  const said = {
    referral: hand.one(referrals).id,
    answered_on: hand.day(),
    verdict,
  };
  return hand.form("answer", said);
}

export async function bookVisit(hand: Hand): Promise<Form | null> {
  const starts_at = hand.time(hand.number(60));
  const booking = {
    booking: hand.id(),
    staff: await hand.technician(),
    starts_at,
  };
  const about = await hand.withClient(booking);
  return about && hand.form("booking", about);
}

export async function moveBooking(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version } = hand.one(bookings);
  const staff = await hand.technician();
  return {
    booking: id,
    seen: version,
    starts_at: hand.time(hand.number(60)),
    minutes: 30,
    staff,
  };
}

/** A booking and a new visit after it, moved or made together. */
export async function arrangeVisits(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version, row } = hand.one(bookings);
  const [staff, day] = [await hand.technician(), hand.number(60)];
  const moved = {
    booking: id,
    seen: version,
    client: row.client,
    starts_at: hand.time(day),
  };
  const added = {
    booking: hand.id(),
    seen: null,
    client: row.client,
    starts_at: hand.time(day + 1),
  };
  const each = { staff, minutes: 30, place: "home", service: "" };
  return { visits: [moved, added].map((visit) => ({ ...visit, ...each })) };
}

/** Three weeks on from a day of winter, when London keeps the hours of UTC. */
export async function bookSeries(hand: Hand): Promise<Form | null> {
  const series = hand.id();
  const first = `2027-01-${String(4 + hand.number(20)).padStart(2, "0")}`;
  const clock = `${String(hand.number(24)).padStart(2, "0")}:00`;
  const ends = { times: 3 };
  const rule = ruleOf({ every: 1, unit: "week", ends }, first);
  const days = daysOf(rule, first) ?? [];
  const visits = days.map(async (day) => ({
    booking: await occurrenceId(series, day),
    starts_at: `${day}T${clock}:00Z`,
  }));
  const when = { first, clock, rule, left_out: [], minutes: 30, place: "home" };
  const who = { series, staff: await hand.technician() };
  return hand.withClient({
    ...{ ...who, ...when, service: "", meant: [] },
    visits: await Promise.all(visits),
  });
}

export async function cancelSeries(hand: Hand): Promise<Form | null> {
  const booked = (await hand.rows("booking")).filter(
    ({ row }) => row.series && row.state === "booked",
  );
  if (booked.length === 0) return null;
  const { series } = hand.one(booked).row;
  const visits = booked
    .filter(({ row }) => row.series === series)
    .map(({ id, version }) => ({ booking: id, seen: version }));
  return { series, visits, code: "moved_away", reason: "" };
}

export async function planRound(hand: Hand): Promise<Form | null> {
  const [clients, houses] = [
    await hand.rows("client"),
    await hand.rows("facility"),
  ];
  const here = houses.map(({ id }) => id);
  const living = clients.filter(({ row }) => here.includes(row.facility ?? ""));
  if (living.length === 0) return null;
  const { id: client, row } = hand.one(living);
  const starts_at = hand.time(24 * (1 + hand.number(60)));
  const visit = { booking: hand.id(), seen: null, client, starts_at };
  const with_ = {
    staff: await hand.technician(),
    minutes: 5,
    place: "facility",
  };
  const day = starts_at.slice(0, 10);
  const visits = [{ ...visit, ...with_, service: "" }];
  const round = { round: hand.id(), seen: null, facility: row.facility, day };
  return { ...round, note: "", visits, meant: [] };
}

export async function roundsOf(hand: Hand) {
  const bookings = await hand.rows("booking");
  const planned = (await hand.rows("round")).filter(
    ({ row }) => row.state === "planned",
  );
  return planned.map(({ id, version }) => ({
    round: id,
    seen: version,
    stops: bookings
      .filter(({ row }) => row.round === id && row.state === "booked")
      .map((each) => ({ booking: each.id, seen: each.version })),
  }));
}

export async function closeRound(hand: Hand): Promise<Form | null> {
  const over = (await roundsOf(hand)).filter(({ stops }) => stops.length === 0);
  if (over.length === 0) return null;
  const { round, seen } = hand.one(over);
  return { round, seen, note: "" };
}

export async function cancelRound(hand: Hand): Promise<Form | null> {
  const planned = await roundsOf(hand);
  if (planned.length === 0) return null;
  return { ...hand.one(planned), code: "mistake", reason: "" };
}

export async function recordNotSeen(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  // Oftener at a round, which else has no answer at its end.
  const stops = bookings.filter(
    ({ row }) => row.round && row.state === "booked",
  );
  const some = stops.length > 0 && hand.number(3) > 0 ? stops : bookings;
  return {
    booking: hand.one(some).id,
    code: hand.one(["not_in", "asleep"]),
    reason: "",
  };
}

/** All hours of all days: nothing then speaks against a booking. */
export async function setWorkingWeek(hand: Hand): Promise<Form | null> {
  const all = { starts: "00:00", ends: "23:59", breaks: [] };
  const days = [0, 1, 2, 3, 4, 5, 6].map((weekday) => ({ weekday, ...all }));
  const held = (await hand.rows("working_week")).find(
    ({ id }) => id === hand.staff,
  );
  return { staff: hand.staff, seen: held?.version ?? 0, days, skills: [] };
}

export async function setBase(hand: Hand): Promise<Form | null> {
  const held = (await hand.rows("base")).find(({ id }) => id === hand.staff);
  const position = {
    lat: hand.number(80),
    lon: hand.number(170),
    source: "typed",
    accuracy_m: null,
  };
  return { staff: hand.staff, seen: held?.version ?? 0, position };
}

export async function addTimeOff(hand: Hand): Promise<Form | null> {
  const first = hand.day(200 + hand.number(60));
  return {
    time_off: hand.id(),
    staff: hand.staff,
    first,
    last: first,
    name: "",
  };
}

export async function removeTimeOff(hand: Hand): Promise<Form | null> {
  const days = (await hand.rows("time_off")).filter(
    ({ row }) => row.staff === hand.staff,
  );
  return days.length === 0 ? null : { time_off: hand.one(days).id };
}

export async function cancelBooking(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version } = hand.one(bookings);
  return { booking: id, seen: version, code: "client_asked", reason: "" };
}

/** Of a client who has all that a visit rests on, if there is one. */
export async function startVisit(hand: Hand): Promise<Form | null> {
  const bookings = (await hand.rows("booking")).filter(
    ({ row }) => row.state === "booked",
  );
  if (bookings.length === 0) return null;
  const due = await Promise.all(
    bookings.map(({ id, row }) => dueVisit(hand, id, row.client)),
  );
  return due.find((visit) => visit.complete)?.form ?? hand.one(due).form;
}

async function dueVisit(hand: Hand, booking: string, client: string) {
  const own = <T extends { row: { client: string } }>(held: readonly T[]) =>
    held.filter(({ row }) => row.client === client);
  const screen = newest(
    own(await hand.rows("health_screen")),
    ({ row }) => row.screened_at,
  );
  const check = newest(
    own(await hand.rows("foot_check")),
    ({ row }) => row.checked_at,
  );
  const consent = newest(
    own(await hand.rows("consent")),
    ({ row }) => row.signed_at,
  );
  const rests = {
    screen: screen?.id ?? hand.id(),
    check: check?.id ?? hand.id(),
    consent: consent?.id ?? hand.id(),
  };
  const made = { visit: hand.id(), booking, client, started_at: hand.time() };
  const complete = (screen && check && consent) !== undefined;
  return { complete, form: hand.form("visit", { ...made, ...rests }) };
}

/** A booking, a clear screen and foot check, a consent, and the visit that rests on them. */
export async function wellPrepared(
  hand: Hand,
  client: string,
): Promise<Deed[]> {
  const at = hand.time();
  const [booking, screen, check, consent] = [
    hand.id(),
    hand.id(),
    hand.id(),
    hand.id(),
  ];
  const when = {
    starts_at: hand.time(hand.number(2000)),
    staff: await hand.technician(),
  };
  const shown = { shown_outcome: "go" };
  const rests = { booking, client, screen, check, consent };
  return [
    {
      name: "book_visit",
      args: hand.form("booking", { booking, client, ...when }),
    },
    {
      name: "record_screen",
      args: hand.form("screen", { screen, client, screened_at: at, ...shown }),
    },
    {
      name: "record_foot_check",
      args: hand.form("check", {
        check,
        client,
        screen,
        checked_at: at,
        ...shown,
      }),
    },
    {
      name: "sign_consent",
      args: hand.form("consent", { consent, client, signed_at: at }),
    },
    {
      name: "start_visit",
      args: hand.form("visit", { visit: hand.id(), ...rests, started_at: at }),
    },
  ];
}

function newest<T>(held: readonly T[], at: (one: T) => string): T | undefined {
  return [...held].sort((one, other) => (at(one) < at(other) ? -1 : 1)).at(-1);
}

/** Of a visit that was begun, or else of one that this phone never asked to begin. */
export async function completeVisit(hand: Hand): Promise<Form | null> {
  const begun = (await hand.rows("visit")).filter(
    ({ row }) => row.state === "started",
  );
  if (begun.length === 0 || hand.number(3) === 0) {
    const visit = await startVisit(hand);
    if (visit === null) return null;
    const kit = await kitUsed(hand, visit["visit"] as string);
    return hand.form("done", { ...visit, ended_at: hand.time(), kit });
  }
  const { id: visit, row } = hand.one(begun);
  const { client, booking, screen, check, consent, started_at } = row;
  const rests = { booking, screen, check, consent };
  const kit = await kitUsed(hand, visit);
  return hand.form("done", {
    visit,
    client,
    ...rests,
    started_at,
    ended_at: hand.time(),
    kit,
  });
}

export async function reportMishap(hand: Hand): Promise<Form | null> {
  const visits = await hand.rows("visit");
  const what = {
    kind: "nick",
    what_happened: "The bit slipped",
    first_aid_given: "Pressed",
  };
  const more = {
    happened_at: hand.time(),
    places: ["left_heel"],
    told: [],
    photo: null,
  };
  const follow_up_on = hand.number(2) === 0 ? null : hand.day(2);
  const told = { mishap: hand.id(), ...what, ...more, follow_up_on };
  if (visits.length === 0) return hand.withClient({ ...told, visit: null });
  const { id: visit, row } = hand.one(visits);
  return { ...told, client: row.client, visit };
}

export async function addToMishap(hand: Hand): Promise<Form | null> {
  const mishaps = await hand.rows("mishap");
  if (mishaps.length === 0) return null;
  const outcome = hand.number(2) === 0 ? "Healed" : "";
  const added = {
    entry: hand.id(),
    added_at: hand.time(),
    note: "Called the house",
    told: [],
    outcome,
  };
  return { mishap: hand.one(mishaps).id, ...added, follow_up_on: null };
}

export async function closeMishap(hand: Hand): Promise<Form | null> {
  const open = (await hand.rows("mishap")).filter(
    ({ row }) => row.closed_at === null,
  );
  if (open.length === 0) return null;
  const { id, version } = hand.one(open);
  return {
    mishap: id,
    entry: hand.id(),
    seen: version,
    note: "Read, and talked over",
  };
}

export async function withdrawClearance(hand: Hand): Promise<Form | null> {
  const given = await hand.rows("clearance");
  if (given.length === 0) return null;
  return {
    clearance: hand.one(given).id,
    reason: "Taken back",
    withdrawn_at: hand.time(),
  };
}

/** Its record alone: pictures travel by themselves, and `tests/photos` follows them. */
export async function recordPhoto(hand: Hand): Promise<Form | null> {
  const about = await hand.withClient({
    photo: hand.id(),
    taken_at: hand.time(),
  });
  return about && hand.form("photo", about);
}

export async function markEnteredInError(hand: Hand): Promise<Form | null> {
  const screens = await hand.rows("health_screen");
  if (screens.length === 0) return null;
  return {
    what: "health_screen",
    row: hand.one(screens).id,
    reason: "Wrong client",
  };
}
