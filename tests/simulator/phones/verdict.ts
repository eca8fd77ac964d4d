/** Looks at the phones and the server side by side. */
import type { RowKind } from "../../../pwa/src/domain/rows";
import type { FeedRow, PullReply } from "../../../pwa/src/wire/types";
import { ground } from "./ground";
import { canonical, type Inspection } from "./judge";
import { askAt } from "./link";
import { unpacked } from "./network";
import type { Phone, Tab } from "./phone";
import type { Simulation } from "./simulation";

/** The kind of row that a command makes, and the argument that names it. */
const MAKES: Record<string, [RowKind, string]> = {
  register_client: ["client", "client"],
  book_visit: ["booking", "booking"],
  record_screen: ["health_screen", "screen"],
  record_clearance: ["clearance", "clearance"],
  sign_consent: ["consent", "consent"],
};

export async function judgeAtRest(sim: Simulation): Promise<void> {
  const inspection = askAt<Inspection>("inspect");
  sim.judge.log(inspection);
  sim.receipts = {};
  for (const { id, name, receipt } of inspection.commands) {
    if (!sim.judge.saved.has(id)) continue;
    const became = `${name} ${receipt.refusal?.code ?? "applied"}`;
    sim.receipts[became] = (sim.receipts[became] ?? 0) + 1;
  }
  await nothingIsLost(sim, inspection);
  for (const phone of sim.phones) {
    const fresh = freshPull(sim, phone);
    await showsWhatTheServerHas(sim, phone, fresh);
    const seen = inspection.seen[phone.person.staff] ?? [];
    const told = fresh
      .filter(({ row }) => row !== null)
      .map(({ kind, id, version }) => `${kind} ${id} ${version}`);
    differs(
      sim,
      7,
      `${phone.name} is given other rows than its person may see`,
      told.sort(),
      seen,
    );
  }
}

async function nothingIsLost(
  sim: Simulation,
  { commands }: Inspection,
): Promise<void> {
  const logged = new Map(commands.map((command) => [command.id, command]));
  for (const phone of sim.phones) {
    const aside = await setAside(phone);
    const refused = await withStatus(phone, "refused");
    for (const saved of sim.judge.saved.values()) {
      const { id, name } = saved;
      if (saved.phone !== phone || aside.has(id)) continue;
      const command = logged.get(id);
      const shown = refused.has(id) || sim.judge.dealtWith.has(id);
      if (command === undefined) {
        // A refusal that a person has dealt with is not asked for again.
        if (!sim.judge.dealtWith.has(id) || !sim.judge.isForgotten(saved))
          sim.judge.isMissing(saved);
        continue;
      }
      const code = command.receipt.refusal?.code;
      if (code === undefined && refused.has(id))
        sim.judge.breaks(
          2,
          `${name} ${id} was done, and ${phone.name} shows it as refused`,
        );
      // What the server keeps of a phone that was shut out is no longer that phone's.
      if (code === undefined || code === "device_revoked") continue;
      if (shown) continue;
      sim.judge.breaks(
        8,
        `${name} ${id}, refused as ${code}, is no longer on ${phone.name}`,
      );
    }
  }
}

/** What lies under a passphrase that was forgotten and is not back yet. */
async function setAside(phone: Phone): Promise<Set<unknown>> {
  const asides = (await phone.disk("set_aside")) as Record<
    "outbox" | "refused",
    { id: string }[]
  >[];
  return new Set(
    asides
      .flatMap(({ outbox, refused }) => [...outbox, ...refused])
      .map(({ id }) => id),
  );
}

async function withStatus(phone: Phone, wanted: string): Promise<Set<unknown>> {
  const settled = await phone.disk("settled");
  return new Set(
    settled.filter(({ status }) => status === wanted).map(({ id }) => id),
  );
}

/** What a phone with nothing on it would be given for this person. */
function freshPull(sim: Simulation, phone: Phone): FeedRow[] {
  const { lastPull } = phone;
  if (lastPull === null) return [];
  const { method, path, headers } = lastPull;
  const asked = JSON.parse(lastPull.body.toString()) as object;
  const rows: FeedRow[] = [];
  let cursor: string | null = null;
  for (;;) {
    const body = Buffer.from(JSON.stringify({ ...asked, cursor })).toString(
      "base64",
    );
    const request = { method, path, headers, packed: true, body };
    const more = { key: 0, request, pauses: false, dies_at: 0 };
    const reply = askAt<{
      status: number;
      headers: [string, string][];
      body: string;
    }>("send", more, sim.network.serverSkew);
    const page = JSON.parse(
      unpacked({
        ...reply,
        body: Buffer.from(reply.body, "base64"),
      }).toString(),
    ) as PullReply;
    rows.push(...page.rows);
    cursor = page.cursor;
    if (!page.more) return rows;
  }
}

async function showsWhatTheServerHas(
  sim: Simulation,
  phone: Phone,
  fresh: FeedRow[],
): Promise<void> {
  if (phone.tab === null) return;
  const due = fresh
    .filter(({ row }) => row !== null)
    .map(({ kind, id, scope, version, row }) =>
      canonical({ kind, id, scope, version, row }),
    );
  differs(
    sim,
    5,
    `${phone.name} shows other rows than a fresh one`,
    await shown(sim, phone.tab),
    due,
  );
}

async function shown(sim: Simulation, tab: Tab): Promise<string[]> {
  const all: string[] = [];
  for (const kind of sim.base.kinds) {
    const held = await finished(sim, tab, () =>
      tab.store.rows.all(kind as RowKind),
    );
    for (const { id, scope, version, row } of held)
      all.push(canonical({ kind, id, scope, version, row }));
  }
  return all;
}

function differs(
  sim: Simulation,
  invariant: number,
  what: string,
  found: string[],
  due: string[],
): void {
  const [have, want] = [new Set(found), new Set(due)];
  const tooMany = found.filter((one) => !want.has(one));
  const missing = due.filter((one) => !have.has(one));
  if (tooMany.length + missing.length === 0) return;
  const example = `${tooMany.length} too many ${tooMany[0] ?? ""}, ${missing.length} missing ${missing[0] ?? ""}`;
  sim.judge.breaks(invariant, `${what}: ${example}`);
}

/** What waits to be sent is seen on its phone meanwhile, whatever was pulled or restarted since. */
export async function look(sim: Simulation, phone: Phone): Promise<void> {
  await sim.runPhones(Infinity);
  const tab = phone.tab;
  if (tab?.phase !== "unlocked" || tab.doing !== null) return;
  sim.step("looked", phone.name);
  const { diesAtTask } = phone;
  // Looking is no use of the phone: it does not die of it.
  phone.diesAtTask = null;
  const waiting = new Set((await phone.disk("outbox")).map(({ id }) => id));
  const merges = [...sim.judge.saved.values()].filter(
    ({ name }) => name === "merge_clients",
  );
  const gone = new Set(merges.map(({ args }) => args["goes"]));
  for (const { id, name, args } of sim.judge.saved.values()) {
    const makes = MAKES[name];
    if (makes === undefined || !waiting.has(id)) continue;
    const [kind, argument] = makes;
    if (gone.has(args[argument])) continue;
    const held = await finished(sim, tab, () =>
      tab.store.rows.get(kind, args[argument] as string),
    );
    if (held === null)
      sim.judge.breaks(
        5,
        `${name} ${id} waits to be sent, and ${phone.name} does not show it`,
      );
  }
  phone.diesAtTask = diesAtTask;
}

async function finished<T>(
  sim: Simulation,
  tab: Tab,
  work: () => Promise<T>,
): Promise<T> {
  const done: T[] = [];
  let problem: unknown = null;
  ground.page = tab;
  work().then(
    (value) => done.push(value),
    (cause: unknown) => (problem = cause),
  );
  while (done.length === 0) {
    if (problem !== null) throw problem as Error;
    await sim.runPhones(Infinity);
  }
  return done[0] as T;
}
