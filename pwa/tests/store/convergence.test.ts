import fc from "fast-check";
import { expect, it } from "vitest";

import type { PhoneStore } from "../../src/store/phone_store";
import { HttpFault } from "../../src/wire/http";
import { clientCard, databaseName, freshPhone, newId, reopen, valueOf } from "../fakes/phone";
import { FakeServer, type PushFault } from "../fakes/server";

type Step =
  | { do: "issue" | "refused" | "elsewhere" | "reset" | "kill" | "two tabs" }
  | { do: "sync"; fault: PushFault | "none" | "html" | "pull cut" };

const steps = fc.array(
  fc.oneof(
    { weight: 5, arbitrary: fc.constantFrom<Step>({ do: "issue" }, { do: "refused" }) },
    { weight: 2, arbitrary: fc.constantFrom<Step>({ do: "elsewhere" }, { do: "reset" }) },
    { weight: 1, arbitrary: fc.constantFrom<Step>({ do: "kill" }, { do: "two tabs" }) },
    {
      weight: 4,
      arbitrary: fc.record({
        do: fc.constant("sync" as const),
        fault: fc.constantFrom("none", "before", "reply_lost", "twice", "html", "pull cut"),
      }),
    },
  ),
  { minLength: 5, maxLength: 14 },
);

const OFFLINE = new HttpFault("no_connection", 0);
const PORTAL = new HttpFault("not_our_server", 200);

/** One phone and its server, with what a person believes to have saved. */
class Trial {
  readonly server = new FakeServer();
  readonly database = databaseName();
  readonly saved: string[] = [];
  phone!: PhoneStore;

  async start(): Promise<void> {
    this.phone = await freshPhone(this.server, this.database);
    this.server.refuse.set("cancel_booking", { code: "x", field: null, text: "t", remedy: "r" });
    this.#offline();
  }

  async take(step: Step): Promise<void> {
    if (step.do === "issue") await this.#issue("register_client");
    if (step.do === "refused") await this.#issue("cancel_booking");
    if (step.do === "elsewhere") this.#elsewhere();
    if (step.do === "reset") this.server.reset = true;
    if (step.do === "kill") this.phone = await reopen(this.server, this.database);
    if (step.do === "two tabs") await this.#twoTabs();
    if (step.do === "sync") await this.#sync(step.fault);
  }

  async drain(): Promise<void> {
    this.#online();
    await this.phone.syncNow();
    await this.phone.syncNow();
  }

  #offline(): void {
    this.server.pullFault = OFFLINE;
    this.server.faults.splice(0, Infinity, ...Array.from({ length: 200 }, () => OFFLINE));
  }

  #online(): void {
    this.server.pullFault = null;
    this.server.faults.length = 0;
  }

  async #issue(name: "register_client" | "cancel_booking"): Promise<void> {
    const { id } =
      name === "register_client"
        ? await this.phone.issue(name, clientCard("invented"))
        : await this.phone.issue(name, { booking: newId(), seen: 1, reason: "typed" });
    this.saved.push(id);
  }

  #elsewhere(): void {
    const id = newId();
    this.server.put("client", id, { ...clientCard("elsewhere", id), staff: [] });
  }

  /** Another tab of the same phone makes a command; this one is not told in time. */
  async #twoTabs(): Promise<void> {
    const other = await reopen(this.server, this.database);
    const { id } = await other.issue("register_client", clientCard("other tab"));
    this.saved.push(id);
  }

  async #sync(fault: string): Promise<void> {
    this.#online();
    if (fault === "html") this.server.faults.push(PORTAL);
    else if (fault === "pull cut") this.server.pullFault = OFFLINE;
    else if (fault !== "none") this.server.faults.push(fault as PushFault);
    await this.phone.syncNow();
    this.#offline();
  }
}

async function everything(phone: PhoneStore): Promise<unknown> {
  const held = await phone.rows.all("client");
  return [...held].sort((one, other) => (one.id < other.id ? -1 : 1));
}

it("every saved command reaches the server once and in order, and the phone equals a fresh pull", async () => {
  await fc.assert(
    fc.asyncProperty(steps, async (taken) => {
      const trial = new Trial();
      await trial.start();
      for (const step of taken) await trial.take(step);
      await trial.drain();
      expect(trial.server.received.map(({ id }) => id)).toEqual(trial.saved);
      expect(trial.server.received.map(({ seq }) => seq)).toEqual(
        trial.saved.map((_, at) => at + 1),
      );
      const refused = trial.server.received.filter(({ name }) => name === "cancel_booking");
      expect(valueOf(trial.phone.attention)).toHaveLength(refused.length);
      expect(valueOf(trial.phone.syncState)).toMatchObject({ pending: 0, state: "idle" });
      expect(await everything(trial.phone)).toEqual(
        await everything(await freshPhone(trial.server)),
      );
    }),
    {
      numRuns: 12,
      // Another tab that sends what this one made, and a word of it that never comes.
      examples: [[[{ do: "issue" }, { do: "two tabs" }, { do: "sync", fault: "twice" }]]],
    },
  );
}, 120_000);
