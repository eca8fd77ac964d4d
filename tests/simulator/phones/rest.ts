/** All faults off, nobody enters anything: everything must come to rest by itself, and then be right. */
import { ground } from "./ground";
import type { Phone } from "./phone";
import type { Simulation } from "./simulation";
import { judgeAtRest } from "./verdict";

const MOST_ROUNDS = 400;

/** At the `last` rest everything that was set aside is brought back as well. */
export async function comeToRest(
  sim: Simulation,
  last: boolean,
): Promise<void> {
  for (const message of sim.network.messages) message.delayed = false;
  for (const phone of sim.phones) phone.disarm();
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    await drain(sim);
    const restless = sim.phones.filter((phone) => !atRest(sim, phone));
    if (restless.length === 0 && !(last && (await bringAllBack(sim)))) {
      await judgeAtRest(sim);
      return;
    }
    if (!restless.some((phone) => helps(sim, phone))) await waits(sim);
  }
  for (const phone of sim.phones.filter((phone) => !atRest(sim, phone))) {
    const { phase, sync } = phone.tab ?? { phase: "closed", sync: null };
    sim.judge.breaks(
      11,
      `${phone.name} does not come to rest: ${phase} ${JSON.stringify(sync)}`,
    );
  }
}

async function drain(sim: Simulation): Promise<void> {
  await sim.runPhones(Infinity);
  for (;;) {
    const [next] = sim.moves();
    if (next === undefined) return;
    next();
    await sim.runPhones(Infinity);
    sim.network.tidy();
  }
}

async function waits(sim: Simulation): Promise<void> {
  const timer = ground.nextTimer();
  if (timer === null) return;
  sim.step("timer");
  await ground.fire(timer);
}

function atRest(sim: Simulation, phone: Phone): boolean {
  const { tab } = phone;
  if (tab?.phase !== "unlocked" || tab.doing !== null) return false;
  const { state, pending } = tab.sync;
  return state === "idle" && pending === 0 && phone.caughtUpAt > sim.writtenAt;
}

/** Does what only a person can do. Returns whether there was anything. */
function helps(sim: Simulation, phone: Phone): boolean {
  if (phone.tabs.length > 1) {
    for (const tab of phone.tabs.slice(1)) phone.close(tab);
    return true;
  }
  const { tab } = phone;
  const { state, detail } = tab?.sync ?? { state: null, detail: null };
  // Whoever waits for what they have begun may wait for its timer.
  if (tab !== null && tab.doing !== null) return false;
  const open = tab?.phase === "unlocked" || tab?.phase === "lease_over";
  if (tab === null || !open) {
    sim.people.atWork(phone);
    return true;
  }
  if (state !== "stopped") return false;
  if (detail === "app_out_of_date" && phone.old) phone.update();
  else sim.people.signIn(tab);
  return true;
}

async function bringAllBack(sim: Simulation): Promise<boolean> {
  let any = false;
  for (const { tab, name } of sim.phones) {
    if (tab === null || !sim.people.bringBack(tab)) continue;
    sim.step("brought_back", name);
    any = true;
  }
  await sim.runPhones(Infinity);
  return any;
}
