/** A person enters something, or deals with what was refused. */
import { get } from "svelte/store";

import type { CommandName } from "../../../pwa/src/domain/commands";
import { asArgs, chooseDeeds } from "./deeds";
import { Hand } from "./hand";
import type { Phone, Tab } from "./phone";
import { pick, type Random } from "./random";
import type { Simulation } from "./simulation";

export function issue(
  sim: Simulation,
  phone: Phone,
  number: number,
  random: Random,
): void {
  if (sim.people.atWork(phone) === null) return;
  const tab = pick(phone.tabs, number);
  if (tab.phase !== "unlocked") return;
  sim.people.begin(tab, "enter", async () => {
    const deeds = await chooseDeeds(
      new Hand(tab, sim.base, random),
      random,
      sim.seed,
    );
    for (const deed of deeds) await enter(sim, tab, deed.name, asArgs(deed));
  });
}

/** Only what the app has called saved is owed to the person. */
export async function enter(
  sim: Simulation,
  tab: Tab,
  name: CommandName,
  args: object,
): Promise<void> {
  const { id } = await tab.store.issue(name, args as never);
  if (!tab.alive) return;
  sim.step("command_saved", `${name} ${id} ${tab.phone.name}`);
  const typed = JSON.parse(JSON.stringify(args)) as Record<string, unknown>;
  sim.judge.isSaved({ id, phone: tab.phone, name, args: typed });
}

/** A refused entry is taken off the list, or taken up again as a form. */
export function attend(sim: Simulation, { tab }: Phone, number: number): void {
  if (tab?.phase !== "unlocked") return;
  const items = get(tab.store.attention);
  if (items.length === 0) return;
  const { id } = pick(items, number);
  sim.judge.dealtWith.add(id);
  sim.people.begin(tab, "attend", async () => {
    await (number % 2 === 0
      ? tab.store.attention.dismiss(id)
      : tab.store.attention.useAgain(id));
    if (tab.alive) sim.step("attended");
  });
}
