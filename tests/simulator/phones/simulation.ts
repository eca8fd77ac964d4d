/** One seed: the events one by one, each a step of the scheduler, and what follows from each. */
import { attend, issue } from "./entries";
import { FAULTS_OF } from "./faults";
import { ground } from "./ground";
import type { Forms } from "./hand";
import { type Broken, Judge } from "./judge";
import { ask } from "./link";
import { type Message, Network } from "./network";
import { People } from "./person";
import { type Person, Phone, type Watcher } from "./phone";
import { type Event, type Plan, planOf } from "./plan";
import { seedPrimitives } from "./primitives";
import { pick, Random } from "./random";
import { comeToRest } from "./rest";
import { emptyStorage } from "./storage";
import { look } from "./verdict";

export interface Base extends Forms {
  start: string;
  people: Person[];
  kinds: string[];
}

export interface Report {
  seed: number;
  phones: number;
  /** The event after which it stopped. */
  ended_at: number;
  steps: number;
  saved: number;
  counts: Record<string, number>;
  /** What became of the saved commands, by name and status. */
  receipts: Record<string, number>;
  /** Commands that the server lost and nobody can tell it again, as a practice had their phone wiped. */
  wiped: number;
  broken: Broken[];
}

const A_MOMENT = 137;

export class Simulation {
  readonly base: Base;
  readonly plan: Plan;
  readonly network = new Network();
  readonly judge = new Judge();
  readonly people: People;
  /** By their number in the plan; null where one takes no part. */
  readonly #numbered: (Phone | null)[];
  readonly phones: Phone[];
  readonly counts: Record<string, number> = {};
  receipts: Record<string, number> = {};
  readonly backups = new Set<string>();
  /** The step of the last request that may have changed something. */
  writtenAt = 0;
  readonly seed: number;
  readonly #log: ((line: string) => void) | null;

  constructor(
    base: Base,
    seed: number,
    without: readonly number[],
    log: ((line: string) => void) | null,
  ) {
    this.base = base;
    this.seed = seed;
    this.#log = log;
    this.plan = planOf(seed);
    this.people = new People(this.judge, this.say);
    this.#numbered = this.plan.phones.map((index, number) => {
      const person = pick(base.people, index);
      const name = `phone ${number} (${person.role})`;
      return without.includes(number)
        ? null
        : new Phone(name, person, this.network, this.#watcher());
    });
    this.phones = this.#numbered.filter((phone) => phone !== null);
  }

  readonly say = (what: string): void => {
    this.#log?.(
      `${this.judge.step} ${new Date(ground.now).toISOString()} ${what}`,
    );
  };

  /** One more thing that the scheduler has carried out. */
  step(kind: string, what = ""): void {
    this.judge.step += 1;
    this.counts[kind] = (this.counts[kind] ?? 0) + 1;
    if (this.#log !== null) this.say(`${kind} ${what}`);
  }

  async run(keep: ReadonlySet<number> | null): Promise<Report> {
    ground.reset(Date.parse(this.base.start));
    seedPrimitives(this.seed);
    emptyStorage();
    ask("fresh", { page: this.plan.rowsPerPage });
    await comeToRest(this, false);
    let ended_at = 0;
    for (const [at, event] of this.plan.events.entries()) {
      if (this.judge.broken.length > 0) break;
      if (keep !== null && !keep.has(at)) continue;
      await this.#happens(event, at);
      ended_at = at;
    }
    if (this.judge.broken.length === 0) await comeToRest(this, true);
    const { step: steps, saved, broken, wiped } = this.judge;
    const about = { seed: this.seed, phones: this.#numbered.length, ended_at };
    const { counts, receipts } = this;
    const sums = { steps, saved: saved.size, wiped: wiped.size };
    return { ...about, ...sums, counts, receipts, broken };
  }

  async #happens(event: Event, at: number): Promise<void> {
    this.#log?.(`--- event ${at} ${event.kind}`);
    await this.#apply(event, new Random(this.seed * 100_003 + at));
    await this.runPhones(event.tasks);
    ground.now += A_MOMENT;
    await this.fireDue();
    this.network.tidy();
  }

  async #apply(event: Event, random: Random): Promise<void> {
    if (event.kind === "move") return this.#move(event.a);
    const phone = pick(this.#numbered, event.a);
    if (phone === null) return;
    switch (event.kind) {
      case "issue":
        return issue(this, phone, event.b, random);
      case "sync":
        return this.#sync(phone);
      case "timer":
        return this.#fireNext();
      case "pass":
        ground.now += [30_000, 120_000, 1_000_000][event.b % 3] ?? 0;
        return;
      case "look":
        return look(this, phone);
      case "attend":
        return attend(this, phone, event.b);
      case "rest":
        return comeToRest(this, false);
      default:
        if (await FAULTS_OF[event.kind](this, phone, event))
          this.step(event.kind, phone.name);
    }
  }

  async runPhones(tasks: number): Promise<void> {
    await ground.settle();
    for (const phone of this.phones) await phone.run(tasks);
  }

  async fireDue(): Promise<void> {
    for (;;) {
      const timer = ground.nextTimer();
      if (timer === null || timer.at > ground.now) return;
      this.step("timer");
      await ground.fire(timer);
      await this.runPhones(Infinity);
    }
  }

  /** Everything that could go on in the network, one step further. */
  moves(): (() => void)[] {
    const free = (place: Message["place"]) =>
      this.network.at(place).filter((message) => !message.delayed);
    return [
      ...free("up").map(
        (message) => () => this.deliver(message, this.plan.pauses),
      ),
      ...free("paused").map((message) => () => {
        this.step("went_on", message.path);
        this.writtenAt = this.judge.step;
        this.network.goOn(message);
      }),
      ...free("down").map((message) => () => {
        this.step(
          "reply_delivered",
          `${message.path} ${message.reply?.status}`,
        );
        this.network.toPhone(message);
      }),
    ];
  }

  deliver(message: Message, pauses: boolean, diesAt = 0): boolean {
    this.step(
      "request_delivered",
      `${message.path} ${message.tab?.phone.name ?? "copy"}`,
    );
    if (message.path !== "/api/pull" && message.method !== "GET")
      this.writtenAt = this.judge.step;
    return this.network.toServer(message, this.judge.step, pauses, diesAt);
  }

  #move(number: number): void {
    const moves = this.moves();
    if (moves.length > 0) pick(moves, number)();
  }

  async #fireNext(): Promise<void> {
    const timer = ground.nextTimer();
    if (timer === null) return;
    this.step("timer");
    await ground.fire(timer);
  }

  #sync(phone: Phone): void {
    const tab = this.people.atWork(phone);
    if (tab === null) return;
    this.step("sync_asked", phone.name);
    ground.page = tab;
    void tab.store.syncNow();
  }

  #watcher(): Watcher {
    return {
      sent: (phone, { path }) => {
        this.say(`${phone.name} sends ${path}`);
      },
      heard: (phone, message, reply) => {
        this.judge.heard(phone, message, reply);
      },
      died: (phone, how) => {
        this.step(`page_killed_${how}`, phone.name);
      },
      diskFull: (phone) => {
        this.step("disk_full", phone.name);
      },
      wiped: (phone) => {
        this.judge.wipedAt.set(phone, this.judge.step);
      },
    };
  }
}
