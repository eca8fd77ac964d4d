/** Check: our own rule. Work that cannot be opened stays on the phone, is counted, and can still be sent. */
import { beforeEach, describe, expect, it } from "vitest";

import { openDatabase, writeStrictly } from "../../src/store/db";
import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  Clock,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const NEW_PASSPHRASE = "nine loud ganders";
const REFUSAL = {
  code: "double_booked",
  field: "starts_at",
  text: "Taken.",
  remedy: "Choose.",
  about: null,
};

let server: FakeServer;
let database: string;

beforeEach(() => {
  server = new FakeServer();
  database = databaseName();
});

const offline = () => new HttpFault("no_connection", 0);

/** Two entries not sent, one refused, one form half written; then the app is killed. */
async function phoneWithUnsentWork(): Promise<void> {
  const phone = await freshPhone(server, database);
  server.refuse.set("cancel_booking", REFUSAL);
  await phone.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" });
  await phone.syncNow();
  server.faults.push(...Array.from({ length: 50 }, offline));
  await phone.issue("register_client", clientCard("Ada"));
  await phone.issue("register_client", clientCard("Ben"));
  phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
  await phone.drafts.flush();
  await shut(phone);
}

/** Not before its last try to send is over. */
async function shut(phone: PhoneStore): Promise<void> {
  await phone.syncNow();
  phone.lock();
  server.faults.length = 0;
}

async function signInAnew(): Promise<PhoneStore> {
  const phone = openPhone(server, database);
  await phone.start();
  await phone.signIn("ann@example.org", "right", "Ann's phone");
  phone.startAnew();
  await phone.choosePassphrase(NEW_PASSPHRASE);
  await phone.syncNow();
  return phone;
}

async function reopened(passphrase: string): Promise<PhoneStore> {
  const phone = openPhone(server, database);
  await phone.start();
  await phone.unlock(passphrase);
  return phone;
}

function asideOf(phone: PhoneStore) {
  const [aside] = valueOf(phone.setAside);
  if (aside === undefined) throw new Error("nothing is set aside");
  return aside;
}

function arrived(): unknown[] {
  return server.received.flatMap(({ args }) => ("name" in args ? [args["name"]] : []));
}

describe("what was sent before the passphrase was forgotten", () => {
  async function sentAndForgotten(): Promise<PhoneStore> {
    const phone = await freshPhone(server, database);
    await phone.issue("register_client", clientCard("Ada"));
    await phone.issue("register_client", clientCard("Ben"));
    await phone.syncNow();
    phone.lock();
    return signInAnew();
  }

  it("is not shown while the server has it", async () => {
    const phone = await sentAndForgotten();
    expect(valueOf(phone.setAside)).toEqual([]);
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("is shown where the server has lost it, and sent again once it is opened", async () => {
    const backUp = server.backUp();
    const phone = await sentAndForgotten();
    backUp();
    await phone.syncNow();
    expect(asideOf(phone)).toMatchObject({ entries: 2, forms: 0 });
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.setAside)).toEqual([]);
  });

  it("is sent again with what was refused, in the order it was made, where the server has lost both", async () => {
    const backUp = server.backUp();
    const first = await freshPhone(server, database);
    server.refuse.set("cancel_booking", REFUSAL);
    await first.issue("register_client", clientCard("Ada"));
    await first.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" });
    await first.issue("register_client", clientCard("Ben"));
    await first.syncNow();
    first.lock();
    const phone = await signInAnew();
    backUp();
    server.refuse.clear();
    await phone.syncNow();
    expect(asideOf(phone)).toMatchObject({ entries: 3 });
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(server.received.map(({ name }) => name)).toEqual([
      "register_client",
      "cancel_booking",
      "register_client",
    ]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 0 });
  });

  it("is shown at once where the server had lost it before the new passphrase", async () => {
    const phone = await freshPhone(server, database);
    const backUp = server.backUp();
    await phone.issue("register_client", clientCard("Ada"));
    await phone.syncNow();
    phone.lock();
    backUp();
    expect(asideOf(await signInAnew())).toMatchObject({ entries: 1 });
  });

  it("is no trace on a phone that its practice has wiped since", async () => {
    const phone = await sentAndForgotten();
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    const { file } = await phone.savedWork.save();
    expect(JSON.parse(await file.text())).toMatchObject({ work: [] });
  });
});

describe("a locked phone", () => {
  it("says how much was not sent and since when, without the passphrase", async () => {
    await phoneWithUnsentWork();
    const phone = openPhone(server, database);
    await phone.start();
    const work = await phone.unsentWork();
    expect(work).toMatchObject({ entries: 3, forms: 1 });
    // The fake phone makes its ids a few milliseconds after this time.
    expect(work.since).toMatch(/^2026-11-25T08:00:0/);
  });

  it("that holds nothing says so", async () => {
    await freshPhone(server, database);
    const phone = openPhone(server, database);
    await phone.start();
    expect(await phone.unsentWork()).toEqual({
      entries: 0,
      forms: 0,
      pictures: 0,
      since: null,
      recoverable: false,
    });
  });
});

describe("starting anew", () => {
  it("needs a sign-in first", async () => {
    await phoneWithUnsentWork();
    const phone = openPhone(server, database);
    await phone.start();
    expect(() => {
      phone.startAnew();
    }).toThrow("not_signed_in");
    expect(await phone.unsentWork()).toMatchObject({ entries: 3 });
  });

  it("touches nothing before the new passphrase is chosen", async () => {
    await phoneWithUnsentWork();
    const phone = openPhone(server, database);
    await phone.start();
    await phone.signIn("ann@example.org", "right", "Ann's phone");
    phone.startAnew();
    expect(valueOf(phone.session)).toMatchObject({ phase: "choose_passphrase", signed_in: true });
    const again = await reopened(PASSPHRASE);
    expect(valueOf(again.syncState)).toMatchObject({ refused: 1 });
    await again.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("keeps all of it aside, counted, and sends none of it", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 0, state: "idle" });
    expect(asideOf(phone)).toMatchObject({ entries: 3, forms: 1 });
    expect(arrived()).toEqual([]);
    expect(asideOf(await reopened(NEW_PASSPHRASE))).toMatchObject({ entries: 3, forms: 1 });
  });

  it("tells the old passphrase from a wrong one", async () => {
    await phoneWithUnsentWork();
    await signInAnew();
    await expect(reopened(PASSPHRASE)).rejects.toMatchObject({ code: "old_passphrase" });
    await expect(reopened("seven quiet heron")).rejects.toMatchObject({
      code: "wrong_passphrase",
    });
  });

  it("twice keeps both, each under its own passphrase", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    server.faults.push(...Array.from({ length: 50 }, offline));
    await phone.issue("register_client", clientCard("Cy"));
    await shut(phone);
    const third = openPhone(server, database);
    await third.start();
    await third.signIn("ann@example.org", "right", "Ann's phone");
    third.startAnew();
    await third.choosePassphrase("one more passphrase");
    const counts = valueOf(third.setAside).map(({ entries }) => entries);
    expect(counts.sort()).toEqual([1, 3]);
  });

  it("survives a revocation of the new device", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    server.pullFault = new HttpFault("device_revoked", 403);
    await phone.syncNow();
    expect(valueOf(phone.session).phase).toBe("revoked");
    server.pullFault = null;
    await phone.signIn("ann@example.org", "right", "Ann's phone");
    await phone.choosePassphrase(NEW_PASSPHRASE);
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });
});

describe("bringing it back", () => {
  it("sends it in order, after what was made since", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    await phone.issue("register_client", clientCard("Dee"));
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Dee", "Ada", "Ben"]);
    expect(valueOf(phone.setAside)).toEqual([]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 1, state: "idle" });
    expect(valueOf(phone.attention)).toMatchObject([
      { name: "cancel_booking", args: { reason: "In hospital" }, refusal: REFUSAL },
    ]);
    expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
  });

  it("is no clone and makes nothing twice where only the reply was lost", async () => {
    const first = await freshPhone(server, database);
    server.faults.push("reply_lost", ...Array.from({ length: 9 }, offline));
    await first.issue("register_client", clientCard("Ada"));
    await first.syncNow();
    await shut(first);
    const phone = await signInAnew();
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
    expect(await phone.rows.all("client")).toHaveLength(1);
  });

  it("lists first what was made first, whatever the clock was set to", async () => {
    const clock = new Clock();
    const passphrases = ["passphrase one", "passphrase two", "passphrase three"];
    const names = ["Ada", "Ben"];
    for (const passphrase of passphrases) {
      const phone = openPhone(server, database, clock);
      await phone.start();
      await phone.signIn("ann@example.org", "right", "Ann's phone");
      if (valueOf(phone.session).phase === "locked") phone.startAnew();
      await phone.choosePassphrase(passphrase);
      await phone.syncNow();
      const name = names.shift();
      if (name !== undefined) {
        server.faults.push(...Array.from({ length: 50 }, offline));
        await phone.issue("register_client", clientCard(name));
        await shut(phone);
        clock.pass(-3600);
        continue;
      }
      const listed = valueOf(phone.setAside).map(({ set_aside_at }) => set_aside_at);
      expect(listed).toEqual([...listed].sort().reverse());
      expect(listed).toHaveLength(2);
    }
  });

  it("brings what opens, and leaves a damaged form where it is", async () => {
    await phoneWithUnsentWork();
    const db = await openDatabase(database, () => undefined);
    await writeStrictly(db, ["drafts"], async (tx) => {
      const draft = await tx.objectStore("drafts").get("screen/c-1");
      if (draft === undefined) throw new Error("no form");
      draft.ct.fill(0);
      await tx.objectStore("drafts").put(draft);
    });
    const phone = await signInAnew();
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(asideOf(phone)).toMatchObject({ entries: 0, forms: 1 });
  });

  it("with a wrong passphrase, or for somebody else, leaves it where it is", async () => {
    await phoneWithUnsentWork();
    server.staff = { ...server.staff, id: "staff-2" };
    const phone = await signInAnew();
    const { id } = asideOf(phone);
    await expect(phone.setAside.bringBack(id, "seven quiet heron")).rejects.toMatchObject({
      code: "wrong_passphrase",
    });
    await expect(phone.setAside.bringBack(id, PASSPHRASE)).rejects.toMatchObject({
      code: "other_persons_work",
    });
    await phone.syncNow();
    expect(asideOf(phone)).toMatchObject({ entries: 3, forms: 1 });
    expect(arrived()).toEqual([]);
  });

  it("leaves a form that was begun anew as it is, and keeps the old one until there is room", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    phone.drafts.save("screen/c-1", { answers: { diabetes: false } });
    await phone.drafts.flush();
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: false } });
    expect(asideOf(phone)).toMatchObject({ entries: 0, forms: 1 });
    await phone.drafts.drop("screen/c-1");
    await phone.setAside.bringBack(asideOf(phone).id, PASSPHRASE);
    expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
    expect(valueOf(phone.setAside)).toEqual([]);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("asked for twice at once puts it into the outbox once", async () => {
    await phoneWithUnsentWork();
    const phone = await signInAnew();
    const { id } = asideOf(phone);
    await Promise.all([
      phone.setAside.bringBack(id, PASSPHRASE),
      phone.setAside.bringBack(id, PASSPHRASE),
    ]);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });
});
