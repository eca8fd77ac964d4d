/** A phone with the real store in each of its tabs, and the person who holds it. */
import { gunzipSync } from "node:zlib";

import { get } from "svelte/store";

import { uuid7 } from "../../../pwa/src/domain/ids";
import type { Phase } from "../../../pwa/src/store/api";
import { LOCK_SETTINGS } from "../../../pwa/src/store/lock";
import type { Word } from "../../../pwa/src/store/phone";
import { PhoneStore } from "../../../pwa/src/store/phone_store";
import { randomBytes } from "../../../pwa/src/store/seal";
import { openHttp } from "../../../pwa/src/wire/http";
import { ground, type Runner } from "./ground";
import type { Message, Network, Reply } from "./network";
import { TabLock } from "./tab_lock";
import { cutOff, type FaultyPage, readStore } from "./storage";

export interface Person {
  staff: string;
  practice: string;
  email: string;
  password: string;
  role: "owner" | "technician" | "coordinator";
}

/** What the phone tells the judge as it happens. */
export interface Watcher {
  sent: (phone: Phone, message: Message) => void;
  heard: (phone: Phone, message: Message, reply: Reply) => void;
  died: (phone: Phone, how: "at_task" | "at_commit") => void;
  diskFull: (phone: Phone) => void;
  /** The records went because the practice revoked the device. */
  wiped: (phone: Phone) => void;
}

export class Tab implements FaultyPage {
  alive = true;
  readonly phone: Phone;
  readonly store: PhoneStore;
  /** What the person is doing here that is not done yet. */
  doing: string | null = null;

  constructor(phone: Phone, network: Network) {
    this.phone = phone;
    this.store = new PhoneStore({
      database: phone.database,
      http: openHttp(network.fetcherOf(this), ""),
      lockSettings: LOCK_SETTINGS,
      now: () => phone.now(),
      newId: () => uuid7(phone.now().getTime(), randomBytes(10)),
      tellTabs: (word) => {
        phone.tell(this, word);
      },
      alone: (work, waiting) => phone.lock.alone(this, work, waiting),
    });
    this.store.session.subscribe(({ phase, device }) => {
      if (this.alive) phone.shows(phase, device);
    });
  }

  get phase() {
    return get(this.store.session as PhoneStore["session"]).phase;
  }

  get sync() {
    return get(this.store.syncState as PhoneStore["syncState"]);
  }

  writes(): boolean {
    return this.phone.writes();
  }

  committed(): void {
    this.phone.committed();
  }
}

export class Phone implements Runner {
  readonly tasks: Runner["tasks"] = [];
  readonly name: string;
  readonly database: string;
  readonly person: Person;
  tabs: Tab[] = [];
  /** Milliseconds by which its clock is off. */
  skew = 0;
  /** An app of an older version sends its own protocol number. */
  old = false;
  passphrases: string[] = [];
  /** After so many tasks, or commits, all tabs die; at the next write but so many, the disk is full. */
  diesAtTask: number | null = null;
  diesAtCommit: number | null = null;
  fullAtWrite: number | null = null;
  /** Its newest device number. */
  device: string | null = null;
  lastPull: Message | null = null;
  /** The step of the newest answer to a pull that has arrived with all its pages; and of one under way. */
  caughtUpAt = -1;
  pagingSince: number | null = null;
  readonly lock = new TabLock();
  readonly #network: Network;
  readonly #watcher: Watcher;

  constructor(
    name: string,
    person: Person,
    network: Network,
    watcher: Watcher,
  ) {
    this.name = name;
    this.database = name;
    this.person = person;
    this.#network = network;
    this.#watcher = watcher;
  }

  get tab(): Tab | null {
    return this.tabs[0] ?? null;
  }

  get passphrase(): string {
    return this.passphrases.at(-1) ?? "";
  }

  now(): Date {
    return new Date(ground.now + this.skew);
  }

  open(): Tab {
    const tab = new Tab(this, this.#network);
    this.tabs.push(tab);
    ground.page = tab;
    void tab.store.start();
    return tab;
  }

  close(tab: Tab): void {
    tab.alive = false;
    ground.page = tab;
    cutOff(tab);
    this.tabs = this.tabs.filter((other) => other !== tab);
    this.lock.release(tab);
  }

  kill(how: "at_task" | "at_commit"): void {
    if (this.tabs.length > 0) this.#watcher.died(this, how);
    for (const tab of this.tabs) this.close(tab);
  }

  /** Runs at most so many of its tasks. */
  async run(most: number): Promise<void> {
    await ground.runTasks(this, most, () => {
      this.diesAtTask = this.#count(this.diesAtTask, () => {
        this.kill("at_task");
      });
    });
  }

  async disk(store: string): Promise<Record<string, unknown>[]> {
    const run = () => ground.runTasks(ground.nobody, Infinity, () => undefined);
    return (await readStore(this.database, store, run)) as Record<
      string,
      unknown
    >[];
  }

  disarm(): void {
    this.diesAtTask = this.diesAtCommit = this.fullAtWrite = null;
  }

  writes(): boolean {
    let full = false;
    this.fullAtWrite = this.#count(this.fullAtWrite, () => (full = true));
    if (full) this.#watcher.diskFull(this);
    return full;
  }

  committed(): void {
    this.diesAtCommit = this.#count(this.diesAtCommit, () => {
      this.kill("at_commit");
    });
  }

  tell(from: Tab, word: Word): void {
    for (const tab of this.tabs) {
      if (tab === from) continue;
      const hear = () => {
        if (tab.alive) void tab.store.heard(word).catch(() => undefined);
      };
      this.tasks.push({ page: tab, run: hear });
    }
  }

  shows(phase: Phase, device: string | null): void {
    if (device !== null) this.device = device;
    if (phase === "revoked") this.#watcher.wiped(this);
  }

  /** A newer app is there, and the person lets it in. */
  update(): void {
    this.old = false;
    for (const tab of this.tabs) this.close(tab);
  }

  sends(message: Message): void {
    if (this.old) asOldApp(message);
    if (message.path === "/api/pull") this.lastPull = message;
    this.#watcher.sent(this, message);
  }

  hears(message: Message, reply: Reply): void {
    this.#watcher.heard(this, message, reply);
  }

  #count(left: number | null, then: () => void): number | null {
    if (left === null) return null;
    if (left > 0) return left - 1;
    then();
    return null;
  }
}

function asOldApp(message: Message): void {
  message.path = message.path.split("?")[0] ?? "";
  const { headers, body } = message;
  if (headers["content-type"] !== "application/json") return;
  const plain =
    headers["content-encoding"] === "gzip" ? gunzipSync(body) : body;
  const said = JSON.parse(plain.toString()) as Record<string, unknown>;
  if (!("protocol" in said)) return;
  delete headers["content-encoding"];
  message.body = Buffer.from(JSON.stringify({ ...said, protocol: 1 }));
}
