/**
 * The parts of the store, and what follows in the others from what happens in one of them. What the screens
 * may ask of them is in phone_store.ts; browser events are in browser.ts.
 */
import type { Http } from "../wire/http";
import type { Id, PullReply } from "../wire/types";
import { Attention } from "./attention";
import { changesBase } from "./base";
import type { CommandLists, HeldCommand } from "./commands";
import { Connection } from "./connection";
import { readMeta } from "./db";
import { ContactTimes } from "./contact_times";
import { Drafts } from "./drafts";
import { Fault } from "./fault";
import { CommandsInHand } from "./in_hand";
import { Lock, type LockSettings } from "./lock";
import { Mending } from "./mending";
import { moveOldRows } from "./old_rows";
import type { Phone, Word } from "./phone";
import { Photos } from "./photos";
import { Records } from "./records";
import { Rulebook } from "./rulebook";
import { SavedWork } from "./saved_work";
import { Session } from "./session";
import { AsideWork } from "./set_aside";
import { Sync } from "./sync";

export interface Surroundings {
  database: string;
  http: Http;
  lockSettings: LockSettings;
  now: () => Date;
  newId: () => Id;
  tellTabs: (word: Word) => void;
  alone: Phone["alone"];
}

export class Parts {
  readonly connection: Connection;
  readonly mending: Mending;
  readonly phone: Phone;
  readonly rulebook = new Rulebook();
  readonly session: Session;
  readonly records: Records;
  readonly inHand: CommandsInHand;
  readonly drafts: Drafts;
  readonly attention: Attention;
  readonly setAside: AsideWork;
  readonly savedWork: SavedWork;
  readonly sync: Sync;
  readonly photos: Photos;
  readonly contactTimes: ContactTimes;

  constructor(around: Surroundings) {
    this.connection = new Connection(around.database, () => void this.mending.reopen());
    this.mending = new Mending(this.connection, () => this.#reopened());
    this.phone = this.#makePhone(around);
    this.session = new Session(this.phone, around.http, () => this.#opened());
    const identity = () => this.session.identity;
    this.records = new Records(this.phone, identity);
    this.inHand = new CommandsInHand(this.phone, (lists, last) => {
      this.#show(lists, last);
    });
    this.drafts = new Drafts(this.phone);
    this.attention = new Attention(this.phone, this.drafts, () => this.#commandsChanged());
    const changed = () => this.#broughtBack();
    this.setAside = new AsideWork(this.phone, around.http, {
      identity,
      changed,
    });
    this.savedWork = new SavedWork(this.phone, {
      staff: () => identity()?.staff.id,
      flush: () => this.saveDrafts(),
      changed,
    });
    this.sync = this.#makeSync(around.http);
    this.photos = new Photos(this.phone, around.http, {
      credentials: () => this.session.identity,
      counted: (left) => {
        this.sync.say(left);
      },
      added: (command) => {
        this.added(command);
      },
      row: (photo) => this.records.get("photo", photo),
      rows: () => this.records.all("photo"),
      owns: () => this.session.identity?.staff.role === "owner",
    });
    this.contactTimes = new ContactTimes(this.phone);
    this.phone.lock.state.subscribe(({ phase }) => {
      if (phase === "lease_over") this.#hideRecords();
      else if (phase !== "unlocked" && phase !== "covered") this.#closed();
    });
  }

  async start(): Promise<void> {
    try {
      await this.connection.open();
      await this.rulebook.read(this.phone.db);
      await this.session.start();
      await this.contactTimes.read();
    } catch (cause) {
      this.phone.report(cause);
    }
  }

  /** Another tab has changed something that both look at. */
  async heard(word: Word): Promise<void> {
    if (word === "locked") this.lock();
    if (word === "identity") await this.session.start();
    if (word === "rulebook") await this.rulebook.read(this.phone.db);
    if (word === "contact_times") await this.contactTimes.read();
    if (this.session.identity === null) return;
    if (word === "rows") this.records.baseChanged();
    if (word === "in_step") {
      await this.sync.recall(true);
      await this.#heardFromPractice();
    }
    if (word !== "commands") return;
    await this.inHand.read();
    await this.setAside.read();
  }

  lock(): void {
    void this.saveDrafts();
    this.session.lock();
  }

  /** A command that was made here is on disk. */
  added(command: HeldCommand): void {
    this.mending.over("storage_full", "storage_broken");
    this.inHand.added(command);
    this.phone.tellTabs("commands");
    this.sync.soon();
  }

  /** Whether records may be shown, while the phone is unlocked. */
  shows(): boolean {
    return this.phone.lock.phase !== "lease_over";
  }

  /** One that can't be written stays in memory, and keeps nobody from what they are about. */
  async saveDrafts(): Promise<void> {
    if (this.session.identity !== null) await this.drafts.flush().catch(this.phone.report);
  }

  #makePhone({ lockSettings, now, newId, tellTabs, alone }: Surroundings): Phone {
    const { connection } = this;
    return {
      get db() {
        return connection.db;
      },
      lock: new Lock(lockSettings, now),
      now,
      newId,
      rulebookVersion: () => this.rulebook.version,
      tellTabs,
      alone,
      report: (cause) => {
        this.mending.report(cause);
      },
    };
  }

  #makeSync(http: Http): Sync {
    const { tellTabs } = this.phone;
    return new Sync(this.phone, http, {
      credentials: () => this.session.identity,
      answered: (commands) => {
        this.inHand.answered(commands);
        tellTabs("commands");
      },
      wantedAgain: () => this.#sentAgain(),
      pageApplied: (page, { covered, lost }) => {
        this.records.pageApplied(page);
        if (page.reset) this.mending.over("record_damaged");
        if (changesBase(page)) tellTabs("rows");
        if (covered.length > 0) this.inHand.covered(covered);
        if (covered.length > 0) tellTabs("commands");
        if (lost) void this.#sentAgain().catch(this.phone.report);
        void this.#pulled(page).catch(this.phone.report);
      },
      inStep: async () => {
        await this.inHand.check();
        // A whole round was written to disk.
        this.mending.over("storage_full", "storage_broken");
        tellTabs("in_step");
        void this.photos.send(() => this.shows());
      },
      rulebookChanged: (book) => {
        this.rulebook.become(book);
        tellTabs("rulebook");
      },
      revoked: async () => {
        // As the commands are: what the practice still takes goes first, and a cut line is tried again.
        await this.photos.handIn();
        this.drafts.forget();
        await this.session.revoked();
      },
    });
  }

  #show(lists: CommandLists, last: HeldCommand | null = null): void {
    const { waiting, applied, refused } = lists;
    const count = applied.length + waiting.length;
    if (!this.shows()) this.records.replay([]);
    else if (last === null || !this.records.replayLast(last, count))
      this.records.replay([...applied, ...waiting]);
    if (last === null) this.attention.show(this.shows() ? refused : []);
    this.sync.count(lists);
  }

  async #opened(): Promise<void> {
    this.drafts.openedBy(this.session.identity?.staff.id ?? "");
    // Where it fails, they are read as they are.
    await moveOldRows(this.phone).catch(this.phone.report);
    // Those of whoever had the phone before went from disk alone.
    await Promise.all([this.inHand.read(), this.photos.count(), this.contactTimes.read()]);
    await this.sync.recall(false);
    await this.setAside.read();
    this.records.opened();
    void this.saveDrafts();
    void this.sync.run();
  }

  async #reopened(): Promise<void> {
    if (this.session.identity === null) return;
    if ((await readMeta(this.phone.db, "progress")) === undefined) {
      await this.session.start();
      throw new Fault("storage_cleared");
    }
    await this.drafts.flush();
    this.records.opened();
  }

  #closed(): void {
    this.session.locked();
    this.#hideRecords();
    this.inHand.forget();
    this.setAside.forget();
    this.sync.stop();
  }

  /** Drops everything that was shown, and keeps what sending and fetching need. */
  #hideRecords(): void {
    this.records.close();
    this.attention.show([]);
  }

  async #commandsChanged(): Promise<void> {
    await Promise.all([this.inHand.read(), this.photos.count()]);
    this.phone.tellTabs("commands");
  }

  /** What was set aside may have to be sent again as well. */
  async #sentAgain(): Promise<void> {
    await this.#commandsChanged();
    await this.setAside.read();
  }

  async #broughtBack(): Promise<void> {
    await this.#sentAgain();
    void this.sync.run();
  }

  async #pulled(page: PullReply): Promise<void> {
    for (const { kind, row } of page.rows) {
      const key = kind === "practice" ? row?.["recovery_key"] : undefined;
      if (typeof key === "string") await this.session.heardOfKey(key);
    }
    if (!page.more) await this.#heardFromPractice();
  }

  async #heardFromPractice(): Promise<void> {
    const before = this.phone.lock.phase;
    await this.session.heard();
    if (this.phone.lock.phase === before) return;
    this.#show(this.inHand.lists);
    this.records.opened();
  }
}
