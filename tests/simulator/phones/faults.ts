/** Every fault, by its name. Each says whether it could happen, since only those that did are counted. */
import { enter } from "./entries";
import { ground } from "./ground";
import type { Inspection } from "./judge";
import { askAt } from "./link";
import { BAD_GATEWAY, type Message, PORTAL, torn } from "./network";
import type { Phone } from "./phone";
import type { Event, FaultKind } from "./plan";
import { pick } from "./random";
import type { Simulation } from "./simulation";

type FaultOf = (
  sim: Simulation,
  phone: Phone,
  event: Event,
) => boolean | Promise<boolean>;

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;
const SKEWS = [
  0,
  -20 * MINUTE,
  20 * MINUTE,
  -5 * HOUR,
  7 * HOUR,
  -3 * DAY,
  4 * DAY,
  -40 * DAY,
];
const OVERLAYS = ["", "us", "uk", "ca", "au"];

function one(
  messages: Message[],
  { a }: Event,
  then: (message: Message) => void,
): boolean {
  if (messages.length === 0) return false;
  then(pick(messages, a));
  return true;
}

function armed(
  phone: Phone,
  what: "diesAtTask" | "diesAtCommit" | "fullAtWrite",
  after: number,
): false {
  phone[what] ??= after;
  // Counted when it happens.
  return false;
}

export const FAULTS_OF: Record<FaultKind, FaultOf> = {
  request_lost: ({ network }, _, event) =>
    one(network.at("up"), event, (message) => {
      network.cut(message);
    }),
  reply_lost: ({ network }, _, event) =>
    one(network.at("down"), event, (message) => {
      network.cut(message);
    }),
  reply_torn: ({ network }, _, event) =>
    one(network.waitedFor("down"), event, (message) => {
      if (message.reply !== null)
        network.answerInstead(message, torn(message.reply));
    }),
  request_doubled: ({ network }, _, event) =>
    one(network.at("up"), event, (message) => {
      network.copy(message);
    }),
  delayed: ({ network }, _, event) =>
    one([...network.at("up"), ...network.at("down")], event, (message) => {
      message.delayed = true;
    }),
  late: ({ network }, _, event) =>
    one(
      network.messages.filter(
        ({ delayed, place }) => delayed && place !== "gone",
      ),
      event,
      (message) => {
        message.delayed = false;
      },
    ),
  portal_page: ({ network }, _, event) =>
    one(network.waitedFor("up"), event, (message) => {
      network.answerInstead(message, PORTAL);
    }),
  bad_gateway: ({ network }, _, event) =>
    one(network.waitedFor("up"), event, (message) => {
      network.answerInstead(message, BAD_GATEWAY);
    }),

  page_killed_at_task: (_, phone, { b }) => armed(phone, "diesAtTask", b % 40),
  page_killed_at_commit: (_, phone, { b }) =>
    armed(phone, "diesAtCommit", b % 4),
  disk_full: (_, phone, { b }) => armed(phone, "fullAtWrite", b % 12),
  second_tab: (_, phone) => {
    if (phone.tab?.phase !== "unlocked" || phone.tabs.length > 1) return false;
    phone.open();
    return true;
  },
  tab_closed: (_, phone, { b }) => {
    if (phone.tabs.length < 2) return false;
    phone.close(pick(phone.tabs, b));
    return true;
  },

  server_killed_at_statement: (sim, _, event) => {
    let died = false;
    one(sim.network.at("up"), event, (message) => {
      died = sim.deliver(message, false, 1 + (event.b % 60));
    });
    return died;
  },
  server_killed_before_reply: (sim, _, event) =>
    one(sim.network.at("up"), event, (message) => {
      sim.deliver(message, false);
      sim.network.cut(message);
      askAt("crash");
      sim.network.serverDied();
    }),
  backup: (sim, _, { b }) => {
    const slot = `backup ${b % 2}`;
    askAt("back_up", { slot });
    sim.backups.add(slot);
    return true;
  },
  restored: async (sim, _, { b }) => {
    if (sim.backups.size === 0) return false;
    await sim.runPhones(Infinity);
    askAt("restore", { slot: pick([...sim.backups], b) });
    sim.network.serverDied();
    const { commands } = askAt<Inspection>("inspect");
    sim.judge.restored(commands);
    sim.writtenAt = sim.judge.step;
    return true;
  },
  phone_clock_set: (_, phone, { b }) => {
    phone.skew = pick(SKEWS, b);
    return true;
  },
  server_clock_set: ({ network }, _, { b }) => {
    network.serverSkew = pick([0, -10 * MINUTE, 10 * MINUTE, 2 * HOUR], b);
    return true;
  },
  feed_trimmed: (sim) => {
    askAt("trim", { days: 30 }, sim.network.serverSkew);
    sim.writtenAt = sim.judge.step;
    return true;
  },
  rulebook_changed: (sim, _, { b }) => {
    askAt("rulebook", { overlay: pick(OVERLAYS, b) });
    sim.writtenAt = sim.judge.step;
    return true;
  },

  idle_lock: (_, phone) => {
    if (phone.tab?.phase !== "unlocked") return false;
    ground.now += 20 * MINUTE;
    ground.page = phone.tab;
    phone.tab.store.tick();
    return true;
  },
  device_revoked: (sim, phone, { b }) => {
    const device = phone.device;
    const owners = sim.phones.filter(
      ({ person, tab }) =>
        person.role === "owner" &&
        person.practice === phone.person.practice &&
        tab !== null,
    );
    const tab = owners.find((owner) => owner !== phone)?.tab;
    if (device === null || tab?.phase !== "unlocked") return false;
    const args = { device, save_unsent: b % 2 === 0 };
    sim.people.begin(tab, "revoke", () =>
      enter(sim, tab, "revoke_device", args),
    );
    return true;
  },
  signed_in_again: (sim, { tab }) => {
    if (tab?.phase !== "unlocked" && tab?.phase !== "locked") return false;
    sim.people.signIn(tab);
    return true;
  },
  passphrase_forgotten: (sim, { tab }) => {
    if (tab?.phase !== "unlocked" && tab?.phase !== "locked") return false;
    sim.people.forget(tab);
    return true;
  },
  brought_back: (sim, { tab }) => {
    return tab?.phase === "unlocked" && sim.people.bringBack(tab);
  },
  old_app: (_, phone) => {
    phone.old = true;
    return true;
  },
  app_updated: (_, phone) => {
    if (!phone.old) return false;
    phone.update();
    return true;
  },
};
