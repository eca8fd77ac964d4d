/** What is done about a client's feet: records, bookings, visits. Null where there is nothing to do it to. */
import type { Form, Hand } from "./hand";

export async function recordScreen(hand: Hand): Promise<Form | null> {
  const shown_outcome = hand.one(["emergency", "go"]);
  const screen = { screen: hand.id(), answers: hand.health(), screened_at: hand.time() };
  const about = await hand.withClient({ ...screen, shown_outcome });
  return about && hand.form("screen", about);
}

export async function recordFootCheck(hand: Hand): Promise<Form | null> {
  const screens = await hand.rows("health_screen");
  if (screens.length === 0) return null;
  const { id, row } = hand.one(screens);
  const check = { check: hand.id(), client: row.client, screen: id, checked_at: hand.time() };
  return hand.form("check", { ...check, answers: hand.feet() });
}

export async function signConsent(hand: Hand): Promise<Form | null> {
  const about = await hand.withClient({ consent: hand.id(), signed_at: hand.time() });
  return about && hand.form("consent", about);
}

export async function withdrawConsent(hand: Hand): Promise<Form | null> {
  const signed = await hand.rows("consent");
  if (signed.length === 0) return null;
  return { consent: hand.one(signed).id, reason: "", withdrawn_at: hand.time() };
}

export async function recordClearance(hand: Hand): Promise<Form | null> {
  const days = { given_on: hand.day(), expires_on: hand.day(90) };
  const about = await hand.withClient({ clearance: hand.id(), ...days });
  return about && hand.form("clearance", about);
}

export async function answerReferral(hand: Hand): Promise<Form | null> {
  const referrals = await hand.rows("referral");
  if (referrals.length === 0) return null;
  return hand.form("answer", { referral: hand.one(referrals).id, answered_on: hand.day() });
}

export async function bookVisit(hand: Hand): Promise<Form | null> {
  const starts_at = hand.time(hand.number(60));
  const booking = { booking: hand.id(), staff: await hand.technician(), starts_at };
  const about = await hand.withClient(booking);
  return about && hand.form("booking", about);
}

export async function moveBooking(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version } = hand.one(bookings);
  const staff = await hand.technician();
  return { booking: id, seen: version, starts_at: hand.time(hand.number(60)), minutes: 30, staff };
}

export async function cancelBooking(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version } = hand.one(bookings);
  return { booking: id, seen: version, reason: "" };
}

/** Of a client with all that a visit rests on, or with whatever there is. */
async function visit(hand: Hand, form: string, more: Form): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id: booking, row } = hand.one(bookings);
  const { client } = row;
  const ofClient = async (kind: "health_screen" | "foot_check" | "consent") =>
    (await hand.rows(kind)).filter((held) => held.row.client === client).at(-1)?.id ?? hand.id();
  const rests = {
    screen: await ofClient("health_screen"),
    check: await ofClient("foot_check"),
    consent: await ofClient("consent"),
  };
  const begun = (await hand.rows("visit")).find((held) => held.row.client === client);
  const own = form === "done" && begun !== undefined ? begun.id : hand.id();
  const started_at = hand.time(-1);
  return hand.form(form, { visit: own, booking, client, ...rests, started_at, ...more });
}

export function startVisit(hand: Hand): Promise<Form | null> {
  return visit(hand, "visit", {});
}

export function completeVisit(hand: Hand): Promise<Form | null> {
  return visit(hand, "done", { ended_at: hand.time() });
}

export async function withdrawClearance(hand: Hand): Promise<Form | null> {
  const given = await hand.rows("clearance");
  if (given.length === 0) return null;
  return { clearance: hand.one(given).id, reason: "Taken back", withdrawn_at: hand.time() };
}

export async function markEnteredInError(hand: Hand): Promise<Form | null> {
  const screens = await hand.rows("health_screen");
  if (screens.length === 0) return null;
  return { what: "health_screen", row: hand.one(screens).id, reason: "Wrong client" };
}
