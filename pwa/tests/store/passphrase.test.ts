/** Check: our own rule. A new passphrase opens the same records, and the old one opens nothing. */
import { beforeEach, describe, expect, it } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import {
  clientCard,
  databaseName,
  freshPhone,
  openPhone,
  PASSPHRASE,
  valueOf,
} from "../fakes/phone";
import { FakeServer } from "../fakes/server";

const NEW_PASSPHRASE = "nine loud ganders";

let server: FakeServer;
let database: string;
let phone: PhoneStore;

beforeEach(async () => {
  server = new FakeServer();
  database = databaseName();
  phone = await freshPhone(server, database);
  await phone.issue("register_client", clientCard("Ada"));
  phone.drafts.save("screen/c-1", { answers: { diabetes: true } });
  await phone.drafts.flush();
});

async function shutPhone(): Promise<PhoneStore> {
  const again = openPhone(server, database);
  await again.start();
  return again;
}

describe("changing the passphrase", () => {
  it("opens everything with the new one, and nothing with the old one", async () => {
    await phone.changePassphrase(PASSPHRASE, NEW_PASSPHRASE);
    expect(valueOf(phone.session).phase).toBe("unlocked");
    const again = await shutPhone();
    await expect(again.unlock(PASSPHRASE)).rejects.toMatchObject({ code: "wrong_passphrase" });
    await again.unlock(NEW_PASSPHRASE);
    expect(await again.rows.all("client")).toHaveLength(1);
    expect(await again.drafts.load("screen/c-1")).toEqual({ answers: { diabetes: true } });
  });

  it("needs the old one, and a new one that is not short", async () => {
    await expect(phone.changePassphrase("seven quiet heron", NEW_PASSPHRASE)).rejects.toMatchObject(
      { code: "wrong_passphrase" },
    );
    await expect(phone.changePassphrase(PASSPHRASE, "short")).rejects.toMatchObject({
      code: "passphrase_too_short",
    });
    await (await shutPhone()).unlock(PASSPHRASE);
  });

  it("is for an unlocked phone only", async () => {
    phone.lock();
    await expect(phone.changePassphrase(PASSPHRASE, NEW_PASSPHRASE)).rejects.toMatchObject({
      code: "locked",
    });
  });

  it("in two tabs at once is done by one of them, and the other says that its old one is wrong", async () => {
    const other = await shutPhone();
    await other.unlock(PASSPHRASE);
    const done = await Promise.allSettled([
      phone.changePassphrase(PASSPHRASE, NEW_PASSPHRASE),
      other.changePassphrase(PASSPHRASE, "ten grey geese here"),
    ]);
    expect(done.map(({ status }) => status).sort()).toEqual(["fulfilled", "rejected"]);
    const opens = done[0].status === "fulfilled" ? NEW_PASSPHRASE : "ten grey geese here";
    await (await shutPhone()).unlock(opens);
  });
});
