/** What people enter on their phones: every command with arguments that fit what the phone shows. */
import type { CommandArgs, CommandName } from "../../../pwa/src/domain/commands";
import type { RowKind } from "../../../pwa/src/domain/rows";
import type { Held } from "../../../pwa/src/store/api";
import { pick, Random } from "./random";
import type { Tab } from "./phone";

type Form = Record<string, unknown>;

export interface Forms {
  forms: Record<string, Form>;
  health: Form[];
  feet: Form[];
}

export interface Deed {
  name: CommandName;
  args: Form;
}

type Rows = <K extends RowKind>(kind: K) => Promise<readonly Held<K>[]>;

/** The phone in somebody's hand, with a random number generator for what they choose. */
export class Hand {
  readonly #tab: Tab;
  readonly #given: Forms;
  readonly #random: Random;
  readonly rows: Rows;

  constructor(tab: Tab, given: Forms, random: Random) {
    this.#tab = tab;
    this.#given = given;
    this.#random = random;
    this.rows = (kind) => tab.store.rows.all(kind);
  }

  form(name: string, more: Form): Form {
    return { ...this.#given.forms[name], ...more };
  }

  health(): Form {
    return this.one(this.#given.health);
  }

  feet(): Form {
    return this.one(this.#given.feet);
  }

  one<T>(all: readonly T[]): T {
    return pick(all, this.#random.below(1 << 16));
  }

  id(): string {
    return this.#tab.store.newId();
  }

  number(below: number): number {
    return this.#random.below(below);
  }

  /** So many hours from now, by the phone's clock. */
  time(hours = 0): string {
    return new Date(this.#tab.store.now().getTime() + hours * 3_600_000).toISOString();
  }

  day(days = 0): string {
    return this.time(24 * days).slice(0, 10);
  }

  get role(): string {
    return this.#tab.phone.person.role;
  }

  get staff(): string {
    return this.#tab.phone.person.staff;
  }
}

type Doing = (hand: Hand) => Promise<Form | null>;
type Choice = readonly [name: CommandName, weight: number, who: string, doing: Doing];

const ANY = "owner technician coordinator";
const CARE = "owner technician";

/** Null where there is nothing to do it to. */
const CHOICES: readonly Choice[] = [
  ["register_client", 10, ANY, registerClient],
  ["amend_client", 10, ANY, amendClient],
  ["assign_client", 6, CARE, async (hand) => withClient(hand, { staff: await somebody(hand) })],
  ["unassign_client", 8, "owner", unassignClient],
  ["register_facility", 2, "owner", async (hand) => plain(hand, "facility", "Invented House")],
  ["assign_facility", 4, "owner", assignFacility],
  ["record_screen", 8, CARE, recordScreen],
  ["record_foot_check", 5, CARE, recordFootCheck],
  ["sign_consent", 4, CARE, signConsent],
  ["withdraw_consent", 2, CARE, withdrawConsent],
  ["record_clearance", 3, CARE, recordClearance],
  ["record_referral_answer", 4, CARE, answerReferral],
  ["book_visit", 8, ANY, bookVisit],
  ["move_booking", 5, ANY, moveBooking],
  ["cancel_booking", 3, ANY, cancelBooking],
  ["start_visit", 4, CARE, async (hand) => visit(hand, "visit", {})],
  ["complete_visit", 4, CARE, async (hand) => visit(hand, "done", { ended_at: hand.time() })],
  ["close_incident", 5, "owner", closeIncident],
];

/** Something to do that fits the person and the phone, or else a new client. */
export async function chooseDeed(hand: Hand, random: Random): Promise<Deed | null> {
  const open = CHOICES.filter(([, , who]) => who.split(" ").includes(hand.role));
  const [name, , , doing] = random.weighted(open.map((choice) => [choice, choice[1]] as const));
  const args = await doing(hand);
  if (args !== null) return { name, args };
  const card = await registerClient(hand);
  return card === null ? null : { name: "register_client", args: card };
}

export function asArgs<N extends CommandName>(deed: Deed): CommandArgs[N] {
  return deed.args as unknown as CommandArgs[N];
}

async function registerClient(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  const facility = houses.length > 0 && hand.number(2) === 0 ? hand.one(houses).id : null;
  const name = `Client Invented ${hand.number(50)}`;
  const card = hand.form("client", { client: hand.id(), name, facility });
  if (hand.role !== "coordinator") return card;
  delete card["note"];
  return houses.length === 0 ? null : { ...card, facility: hand.one(houses).id };
}

async function amendClient(hand: Hand): Promise<Form | null> {
  const clients = await hand.rows("client");
  if (clients.length === 0) return null;
  const { id, version } = hand.one(clients);
  const text = `changed ${hand.number(1000)}`;
  const changes = { [hand.one(["phone", "room", "address", "contact_name"])]: text };
  return { client: id, seen: version, changes };
}

async function unassignClient(hand: Hand): Promise<Form | null> {
  const given = (await hand.rows("client")).filter(({ row }) => row.staff.length > 0);
  if (given.length === 0) return null;
  const { id, row } = hand.one(given);
  return { client: id, staff: hand.one(row.staff) };
}

async function assignFacility(hand: Hand): Promise<Form | null> {
  const houses = await hand.rows("facility");
  return houses.length === 0
    ? null
    : { facility: hand.one(houses).id, staff: await somebody(hand) };
}

function plain(hand: Hand, key: string, name: string): Promise<Form> {
  return Promise.resolve({ [key]: hand.id(), name, address: "", phone: "" });
}

async function somebody(hand: Hand): Promise<string> {
  const staff = await hand.rows("staff");
  return staff.length === 0 ? hand.staff : hand.one(staff).id;
}

async function withClient(hand: Hand, more: Form): Promise<Form | null> {
  const clients = await hand.rows("client");
  return clients.length === 0 ? null : { client: hand.one(clients).id, ...more };
}

async function recordScreen(hand: Hand): Promise<Form | null> {
  const shown_outcome = hand.one(["emergency", "go"]);
  const screen = { screen: hand.id(), answers: hand.health(), screened_at: hand.time() };
  const about = await withClient(hand, { ...screen, shown_outcome });
  return about && hand.form("screen", about);
}

async function recordFootCheck(hand: Hand): Promise<Form | null> {
  const screens = await hand.rows("health_screen");
  if (screens.length === 0) return null;
  const { id, row } = hand.one(screens);
  const check = { check: hand.id(), client: row.client, screen: id, checked_at: hand.time() };
  return hand.form("check", { ...check, answers: hand.feet() });
}

async function signConsent(hand: Hand): Promise<Form | null> {
  const about = await withClient(hand, { consent: hand.id(), signed_at: hand.time() });
  return about && hand.form("consent", about);
}

async function withdrawConsent(hand: Hand): Promise<Form | null> {
  const signed = await hand.rows("consent");
  if (signed.length === 0) return null;
  return { consent: hand.one(signed).id, reason: "", withdrawn_at: hand.time() };
}

async function recordClearance(hand: Hand): Promise<Form | null> {
  const days = { given_on: hand.day(), expires_on: hand.day(90) };
  const about = await withClient(hand, { clearance: hand.id(), ...days });
  return about && hand.form("clearance", about);
}

async function answerReferral(hand: Hand): Promise<Form | null> {
  const referrals = await hand.rows("referral");
  if (referrals.length === 0) return null;
  return hand.form("answer", { referral: hand.one(referrals).id, answered_on: hand.day() });
}

async function technician(hand: Hand): Promise<string> {
  const staff = (await hand.rows("staff")).filter(({ row }) => row.role !== "coordinator");
  return staff.length === 0 ? hand.staff : hand.one(staff).id;
}

async function bookVisit(hand: Hand): Promise<Form | null> {
  const starts_at = hand.time(hand.number(60));
  const booking = { booking: hand.id(), staff: await technician(hand), starts_at };
  const about = await withClient(hand, booking);
  return about && hand.form("booking", about);
}

async function moveBooking(hand: Hand): Promise<Form | null> {
  const bookings = await hand.rows("booking");
  if (bookings.length === 0) return null;
  const { id, version } = hand.one(bookings);
  const staff = await technician(hand);
  return { booking: id, seen: version, starts_at: hand.time(hand.number(60)), minutes: 30, staff };
}

async function cancelBooking(hand: Hand): Promise<Form | null> {
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

async function closeIncident(hand: Hand): Promise<Form | null> {
  const open = (await hand.rows("incident")).filter(({ row }) => row.closed_at === null);
  return open.length === 0 ? null : { incident: hand.one(open).id, note: "Talked it over" };
}
