/** A phone for tests: its own database and clock, any server. */
import { get, type Readable } from "svelte/store";

import { uuid7 } from "../../src/domain/ids";
import type { CommandArgs } from "../../src/domain/commands";
import { LOCK_SETTINGS } from "../../src/store/lock";
import { PhoneStore } from "../../src/store/phone_store";
import type { Http } from "../../src/wire/http";

export const PASSPHRASE = "seven quiet herons";

export class Clock {
  milliseconds = Date.parse("2026-11-25T08:00:00Z");
  readonly now = () => new Date(this.milliseconds);

  pass(seconds: number): void {
    this.milliseconds += seconds * 1000;
  }
}

let made = 0;

export function newId(clock = new Clock()): string {
  made += 1;
  return uuid7(clock.milliseconds + made, new Uint8Array(10).fill(made % 256));
}

export function databaseName(): string {
  return `phone-${newId()}`;
}

/** Not started: as the app is when its page is loaded. */
export function openPhone(http: Http, database: string, clock = new Clock()): PhoneStore {
  return new PhoneStore({
    database,
    http,
    lockSettings: LOCK_SETTINGS,
    now: clock.now,
    newId: () => newId(clock),
    tellTabs: () => undefined,
    alone: (work) => work(),
  });
}

/** Signed in and unlocked for the first time. */
export async function freshPhone(
  http: Http,
  database = databaseName(),
  clock = new Clock(),
): Promise<PhoneStore> {
  const phone = openPhone(http, database, clock);
  await phone.start();
  await phone.signIn("ann@example.org", "right", "Ann's phone");
  await phone.choosePassphrase(PASSPHRASE);
  await phone.syncNow();
  return phone;
}

/** The app is killed and opened again. */
export async function reopen(
  http: Http,
  database: string,
  clock = new Clock(),
): Promise<PhoneStore> {
  const phone = openPhone(http, database, clock);
  await phone.start();
  await phone.unlock(PASSPHRASE);
  return phone;
}

export function valueOf<T>(observable: { subscribe: Readable<T>["subscribe"] }): T {
  return get(observable as Readable<T>);
}

export function clientCard(name: string, client = newId()): CommandArgs["register_client"] {
  return {
    client,
    name,
    born: "1941-03-02",
    address: "1 Invented Lane",
    phone: "",
    email: "",
    facility: null,
    room: "",
    contact_name: "",
    contact_phone: "",
    contact_role: "",
    decides_for_self: true,
    note: "",
  };
}
