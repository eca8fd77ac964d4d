/** Check: our own rule. A file of unsent work opens on another phone of the same person, and makes nothing twice. */
import { createHash } from "node:crypto";

import { beforeAll, beforeEach, describe, expect, it } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import type { TextAside } from "../../src/store/saved_form";
import { HttpFault } from "../../src/wire/http";
import {
  clientCard,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { PracticeKey } from "../fakes/practice_key";
import { FakeServer, PRACTICE, STAFF } from "../fakes/server";

const REFUSAL = {
  code: "double_booked",
  field: "starts_at",
  text: "Taken.",
  remedy: "Choose.",
  about: null,
};

let pair: PracticeKey;
let server: FakeServer;
let database: string;

beforeAll(() => {
  pair = new PracticeKey();
});

beforeEach(() => {
  server = new FakeServer();
  server.practice = { ...PRACTICE, recovery_key: pair.public };
  server.openCopy = (copy) => pair.open(copy, server.practice.id, server.staff.id)?.key ?? null;
  database = databaseName();
});

/** Two entries not sent, one refused, one form half written. */
async function phoneWithUnsentWork(): Promise<PhoneStore> {
  const phone = await freshPhone(server, database);
  server.refuse.set("cancel_booking", REFUSAL);
  await phone.issue("cancel_booking", { booking: "b", seen: 1, reason: "In hospital" });
  await phone.syncNow();
  server.faults.push(...Array.from({ length: 50 }, () => new HttpFault("no_connection", 0)));
  await phone.issue("register_client", clientCard("Ada"));
  await phone.issue("register_client", clientCard("Ben"));
  phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
  await phone.syncNow();
  return phone;
}

async function fileOf(phone: PhoneStore): Promise<Blob> {
  return (await phone.savedWork.save()).file;
}

/** Locks the phone afterwards, so that it sends nothing by itself. */
async function saved(phone: PhoneStore): Promise<Blob> {
  const file = await fileOf(phone);
  phone.lock();
  return file;
}

/** With a digest that fits: whoever edits a file can make one. */
async function fileWith(file: Blob, work: TextAside[]): Promise<Blob> {
  const content = JSON.parse(await file.text()) as object;
  const sha256 = createHash("sha256").update(JSON.stringify(work)).digest("hex");
  return new Blob([JSON.stringify({ ...content, sha256, work })]);
}

async function editedFile(file: Blob, edit: (aside: TextAside) => TextAside): Promise<Blob> {
  const { work } = JSON.parse(await file.text()) as { work: TextAside[] };
  return fileWith(file, work.map(edit));
}

async function bringBackAll(phone: PhoneStore): Promise<void> {
  for (const { id, opened } of valueOf(phone.setAside))
    if (!opened) await phone.setAside.bringBack(id, PASSPHRASE);
}

function arrived(): unknown[] {
  return server.received.flatMap(({ args }) => ("name" in args ? [args["name"]] : []));
}

describe("saving", () => {
  it("needs no key, and names the file by the day alone", async () => {
    const first = await phoneWithUnsentWork();
    await first.drafts.flush();
    const locked = openPhone(server, database);
    await locked.start();
    const { name, file } = await locked.savedWork.save();
    expect(name).toBe("unsent-work-2026-11-25.json");
    expect(file.type).toBe("application/json");
    expect(await locked.unsentWork()).toMatchObject({ entries: 3, forms: 1 });
  });

  it("holds nothing readable of what was typed, nor of who typed it", async () => {
    const phone = await phoneWithUnsentWork();
    const text = await (await saved(phone)).text();
    expect(text.length).toBeGreaterThan(1000);
    // Words of three letters also come about by chance in so long a text of base64.
    for (const word of ["Invented", "hospital", "diabetes", "token", PASSPHRASE])
      expect(text).not.toContain(word);
  });

  it("takes what was set aside before along", async () => {
    const phone = await phoneWithUnsentWork();
    const other = await freshPhone(server, databaseName());
    await other.savedWork.takeIn(await saved(phone));
    const third = await freshPhone(server, databaseName());
    expect(await third.savedWork.takeIn(await saved(other))).toMatchObject({
      entries: 3,
      forms: 1,
    });
  });
});

describe("taking a file in on another phone", () => {
  it("puts everything back, in order, by its passphrase", async () => {
    const file = await saved(await phoneWithUnsentWork());
    server.faults.length = 0;
    const phone = await freshPhone(server, databaseName());
    expect(await phone.savedWork.takeIn(file)).toMatchObject({ entries: 3, forms: 1 });
    expect(arrived()).toEqual([]);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.attention)).toMatchObject([{ args: { reason: "In hospital" } }]);
    expect(await phone.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
    expect(valueOf(phone.setAside)).toEqual([]);
  });

  it("shows what was refused, and does not ask for it again: it may have been made anew since", async () => {
    const backUp = server.backUp();
    const file = await saved(await phoneWithUnsentWork());
    server.faults.length = 0;
    backUp();
    server.refuse.clear();
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(file);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.attention)).toMatchObject([{ args: { reason: "In hospital" } }]);
  });

  it("or by the practice's key", async () => {
    const file = await saved(await phoneWithUnsentWork());
    server.faults.length = 0;
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(file);
    await phone.setAside.recover(valueOf(phone.setAside)[0]?.id ?? "");
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("twice, before and after it was put back, changes nothing twice", async () => {
    const file = await saved(await phoneWithUnsentWork());
    server.faults.length = 0;
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(file);
    await phone.savedWork.takeIn(file);
    expect(valueOf(phone.setAside)).toHaveLength(1);
    await bringBackAll(phone);
    await phone.syncNow();
    await phone.savedWork.takeIn(file);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.setAside)).toEqual([]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, refused: 1 });
    expect(await phone.rows.all("client")).toHaveLength(2);
  });

  it("after the first phone has sent it all makes nothing twice", async () => {
    const first = await phoneWithUnsentWork();
    const file = await fileOf(first);
    server.faults.length = 0;
    await first.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(file);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
    expect(await phone.rows.all("client")).toHaveLength(2);
  });

  it("is nothing new on the phone that it was saved on", async () => {
    const phone = await phoneWithUnsentWork();
    await phone.savedWork.takeIn(await fileOf(phone));
    await bringBackAll(phone);
    expect(valueOf(phone.setAside)).toEqual([]);
    expect(valueOf(phone.syncState)).toMatchObject({ pending: 2, refused: 1 });
    server.faults.length = 0;
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
  });

  it("and a later one of the same phone together make nothing twice", async () => {
    const first = await phoneWithUnsentWork();
    const early = await fileOf(first);
    await first.issue("register_client", clientCard("Cy"));
    const late = await saved(first);
    server.faults.length = 0;
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(late);
    await phone.savedWork.takeIn(early);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived().sort()).toEqual(["Ada", "Ben", "Cy"]);
    expect(valueOf(phone.setAside)).toEqual([]);
  });

  it("that was edited replaces nothing that is here: it is put beside it, once", async () => {
    const file = await saved(await phoneWithUnsentWork());
    server.faults.length = 0;
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(file);
    const edited = await editedFile(file, ({ outbox, ...rest }) => ({
      ...rest,
      outbox: outbox.slice(1),
    }));
    await phone.savedWork.takeIn(edited);
    await phone.savedWork.takeIn(edited);
    expect(valueOf(phone.setAside).map(({ entries }) => entries)).toEqual([3, 2]);
    await bringBackAll(phone);
    await phone.syncNow();
    expect(arrived()).toEqual(["Ada", "Ben"]);
    expect(valueOf(phone.setAside)).toEqual([]);
  });

  it("with two pieces of one id keeps both", async () => {
    const file = await saved(await phoneWithUnsentWork());
    const { work } = JSON.parse(await file.text()) as { work: TextAside[] };
    const twice = work.flatMap((aside) => [{ ...aside, drafts: [] }, aside]);
    const phone = await freshPhone(server, databaseName());
    await phone.savedWork.takeIn(await fileWith(file, twice));
    expect(valueOf(phone.setAside)).toHaveLength(2);
  });

  it("needs somebody signed in, and takes nothing of another person", async () => {
    const first = await phoneWithUnsentWork();
    const file = await saved(first);
    first.lock();
    await expect(first.savedWork.takeIn(file)).rejects.toMatchObject({ code: "locked" });
    server.staff = { ...STAFF, id: "staff-2" };
    const phone = await freshPhone(server, databaseName());
    await expect(phone.savedWork.takeIn(file)).rejects.toMatchObject({
      code: "other_persons_work",
    });
    expect(valueOf(phone.setAside)).toEqual([]);
  });
});

describe("a file that is not right", () => {
  async function outcome(text: string): Promise<unknown> {
    const phone = await freshPhone(server, databaseName());
    const result = await phone.savedWork.takeIn(new Blob([text])).catch((cause: unknown) => cause);
    expect(valueOf(phone.setAside)).toEqual([]);
    return result;
  }

  it.each(["", "hello", "[]", "null", "3", '{"format":"another","version":1}', "\u0000\u00ff"])(
    "%j is not such a file",
    async (text) => {
      expect(await outcome(text)).toMatchObject({ code: "not_saved_work" });
    },
  );

  it("from a newer app says so", async () => {
    const text = await (await saved(await phoneWithUnsentWork())).text();
    const newer = text.replace('"version":1', '"version":2');
    expect(await outcome(newer)).toMatchObject({ code: "saved_work_newer" });
  });

  it("is damaged where it was cut, or where anything in it was changed", async () => {
    const text = await (await saved(await phoneWithUnsentWork())).text();
    expect(await outcome(text.slice(0, text.length / 2))).toMatchObject({
      code: "saved_work_damaged",
    });
    const content = JSON.parse(text) as { work: { outbox: unknown[] }[] };
    content.work[0]?.outbox.pop();
    expect(await outcome(JSON.stringify(content))).toMatchObject({ code: "saved_work_damaged" });
    expect(await outcome(text.replace(/"work":.*/, '"work":7}'))).toMatchObject({
      code: "saved_work_damaged",
    });
  });

  it("is none the worse for having been laid out anew by an editor", async () => {
    const text = await (await saved(await phoneWithUnsentWork())).text();
    const phone = await freshPhone(server, databaseName());
    const laidOut = new Blob([JSON.stringify(JSON.parse(text), null, 2)]);
    expect(await phone.savedWork.takeIn(laidOut)).toMatchObject({ entries: 3, forms: 1 });
  });
});
