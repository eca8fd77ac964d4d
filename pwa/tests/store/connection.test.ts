/**
 * A database connection that the browser takes away: opened again, nothing lost, nothing twice; told only where
 * that fails. Check: IndexedDB's own rule that a transaction on a closed connection throws InvalidStateError.
 */
import { afterEach, expect, it, vi } from "vitest";

import { Connection, isLost } from "../../src/store/connection";
import { Fault } from "../../src/store/fault";
import { clientCard, databaseName, freshPhone, valueOf } from "../fakes/phone";
import { FakeServer } from "../fakes/server";

afterEach(() => {
  vi.restoreAllMocks();
});

/** Closes every connection at its next use, as a browser does that says nothing beforehand. */
function cutOff(times: number) {
  const spy = vi.spyOn(IDBDatabase.prototype, "transaction");
  for (let time = 0; time < times; time += 1)
    spy.mockImplementationOnce(() => {
      throw new DOMException("gone", "InvalidStateError");
    });
}

it("begins a command once more on a new connection, and says nothing", async () => {
  const server = new FakeServer();
  const phone = await freshPhone(server);
  cutOff(1);
  await phone.issue("register_client", clientCard("Ann"));
  await phone.syncNow();
  expect(valueOf(phone.trouble)).toBeNull();
  expect(server.received.map(({ seq, name }) => [seq, name])).toEqual([[1, "register_client"]]);
});

it("tells where it stays gone, keeps the number free, and goes on by itself when it is back", async () => {
  const server = new FakeServer();
  const phone = await freshPhone(server);
  vi.spyOn(IDBDatabase.prototype, "transaction").mockImplementation(() => {
    throw new DOMException("gone", "InvalidStateError");
  });
  phone.drafts.save("half", { name: "Ann" });
  await expect(phone.issue("register_client", clientCard("Ann"))).rejects.toThrow("storage_broken");
  await vi.waitFor(() => {
    phone.cover();
    expect(valueOf(phone.trouble)).toBe("storage_broken");
  });
  vi.restoreAllMocks();
  phone.tick();
  await vi.waitFor(() => {
    expect(valueOf(phone.trouble)).toBeNull();
  });
  expect(await phone.drafts.load("half")).toEqual({ name: "Ann" });
  await phone.issue("register_client", clientCard("Ann"));
  await phone.syncNow();
  expect(server.received.map(({ seq }) => seq)).toEqual([1]);
});

it("says so and goes to the sign-in where the records went as well", async () => {
  const name = databaseName();
  const phone = await freshPhone(new FakeServer(), name);
  await new Promise((done) => {
    indexedDB.deleteDatabase(name).onsuccess = done;
  });
  await vi.waitFor(() => {
    expect(valueOf(phone.trouble)).toBe("storage_cleared");
  });
  expect(valueOf(phone.session)).toMatchObject({ phase: "signed_out", staff: null });
});

it("tells a newer version's database from a broken one", async () => {
  const name = databaseName();
  await new Promise((done) => {
    const opening = indexedDB.open(name, 1000);
    opening.onsuccess = () => {
      opening.result.close();
      done(null);
    };
  });
  const connection = new Connection(name, () => undefined);
  await expect(connection.open()).rejects.toThrow("newer_app_open");
});

it("repeats nothing that may have been begun", async () => {
  const connection = new Connection(databaseName(), () => undefined);
  await connection.open();
  const full = new Fault("storage_full", { cause: new DOMException("full", "QuotaExceededError") });
  const work = vi.fn().mockRejectedValue(full);
  await expect(connection.retrying(work)).rejects.toThrow("storage_full");
  expect(work).toHaveBeenCalledTimes(1);
  expect(isLost(new Error("other"))).toBe(false);
});
