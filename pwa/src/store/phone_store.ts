/** Puts the parts of the store together. Knows no browser event: those are in browser.ts. */
import { get, type Readable, writable } from "svelte/store";

import type { CommandArgs, CommandName } from "../domain/commands";
import { type Http } from "../wire/http";
import type { Id, PullReply, RulebookBody } from "../wire/types";
import type { FaultCode, SessionState, Store, SyncState, UnsentWork } from "./api";
import { Attention } from "./attention";
import { moveOldRows } from "./blocks";
import { readApplied, readOutbox, readRefused, writeCommand } from "./commands";
import { Connection } from "./connection";
import { readMeta } from "./db";
import { Drafts } from "./drafts";
import { Fault } from "./fault";
import { Lock, type LockSettings } from "./lock";
import { Mending } from "./mending";
import type { Phone, Word } from "./phone";
import { Records } from "./records";
import { SavedWork } from "./saved_work";
import { AsideWork, unsentWork } from "./set_aside";
import { Session } from "./session";
import { faultOf, Sync } from "./sync";

export interface Surroundings {
  database: string;
  http: Http;
  lockSettings: LockSettings;
  now: () => Date;
  newId: () => Id;
  tellTabs: (word: Word) => void;
  alone: Phone["alone"];
}

export class PhoneStore implements Store {
  readonly rows: Records;
  readonly drafts: Drafts;
  readonly attention: Attention;
  readonly setAside: AsideWork;
  readonly savedWork: SavedWork;
  readonly session: Readable<SessionState>;
  readonly syncState: Readable<SyncState>;
  readonly #rulebook = writable<RulebookBody | null>(null);
  readonly rulebook: Readable<RulebookBody | null> = { subscribe: this.#rulebook.subscribe };
  readonly trouble: Readable<FaultCode | null>;
  readonly #around: Surroundings;
  readonly #phone: Phone;
  readonly #session: Session;
  readonly #sync: Sync;
  readonly #connection: Connection;
  readonly #mending: Mending;
  #ready: Promise<void> = Promise.resolve();
  #reading: Promise<void> = Promise.resolve();
  #issued = 0;

  constructor(around: Surroundings) {
    this.#around = around;
    this.#connection = new Connection(around.database, () => void this.#mending.reopen());
    this.#mending = new Mending(this.#connection, () => this.#reopened());
    this.trouble = this.#mending.trouble;
    const lock = new Lock(around.lockSettings, around.now);
    this.#phone = this.#makePhone(lock);
    this.#session = new Session(this.#phone, around.http, () => this.#opened());
    this.session = this.#session.state;
    this.rows = new Records(this.#phone, () => this.#session.identity?.staff.id ?? "");
    this.drafts = new Drafts(this.#phone);
    this.attention = new Attention(this.#phone, this.drafts, () => this.#commandsChanged());
    this.setAside = new AsideWork(this.#phone, around.http, {
      identity: () => this.#session.identity,
      changed: () => this.#broughtBack(),
    });
    this.savedWork = new SavedWork(this.#phone, {
      staff: () => this.#session.identity?.staff.id,
      flush: () => this.#flushDrafts(),
      changed: () => this.#broughtBack(),
    });
    this.#sync = this.#makeSync(around.http);
    this.syncState = this.#sync.state;
    lock.state.subscribe(({ phase }) => {
      if (phase === "lease_over") this.#hideRecords();
      else if (phase !== "unlocked" && phase !== "covered") this.#closed();
    });
  }

  /** Opens the database and finds out whose phone this is. */
  start(): Promise<void> {
    this.#ready = this.#start();
    return this.#ready;
  }

  async signIn(email: string, password: string, deviceName: string): Promise<void> {
    await this.#ready;
    await this.#flushDrafts();
    await this.#session.signIn(email, password, deviceName);
    this.#mending.over("storage_cleared");
  }

  async choosePassphrase(passphrase: string): Promise<void> {
    await this.#connection.retrying(() => this.#session.choosePassphrase(passphrase));
    void this.setAside.recoverAll().catch(this.#phone.report);
  }

  async unlock(passphrase: string): Promise<void> {
    await this.#ready;
    await this.#connection.retrying(() => this.#session.unlock(passphrase));
  }

  async unsentWork(): Promise<UnsentWork> {
    await this.#ready;
    return unsentWork(this.#phone);
  }

  startAnew(): void {
    this.#session.startAnew();
  }

  changePassphrase(old: string, passphrase: string): Promise<void> {
    return this.#session.changePassphrase(old, passphrase);
  }

  lock(): void {
    this.#lockHere();
    this.#phone.tellTabs("locked");
  }

  setPin(pin: string): void {
    this.#phone.lock.setPin(pin);
  }

  cover(): void {
    this.#saveDrafts();
    this.#phone.lock.cover();
  }

  uncover(pin: string): void {
    this.#phone.lock.uncover(pin);
  }

  touched(): void {
    this.#phone.lock.touched();
  }

  /** Call now and then, and when the screen is looked at again. */
  tick(): void {
    this.#mending.tick();
    this.#saveDrafts();
    this.#phone.lock.tick();
    this.#session.tick();
  }

  async issue<N extends CommandName>(name: N, args: CommandArgs[N]): Promise<{ id: Id }> {
    const command = await this.#connection.retrying(() => writeCommand(this.#phone, name, args));
    this.#issued += 1;
    this.#mending.over("storage_full", "storage_broken", "record_damaged");
    this.rows.replayOne(command);
    this.#sync.added(command);
    this.#phone.tellTabs("commands");
    this.#sync.soon();
    return { id: command.id };
  }

  syncNow(): Promise<void> {
    return this.#sync.afresh();
  }

  storageIs({ kept, nearly_full }: { kept: boolean; nearly_full: boolean }): void {
    this.#sync.say({ storage_kept: kept, storage_nearly_full: nearly_full });
  }

  async referralLetter(referral: Id): Promise<Blob> {
    if (this.#session.identity === null || !this.#shows()) throw new Fault("locked");
    try {
      return await this.#around.http.referralLetter(this.#session.identity, referral);
    } catch (cause) {
      throw new Fault(faultOf(cause), { cause });
    }
  }

  now(): Date {
    return this.#around.now();
  }

  newId(): Id {
    return this.#around.newId();
  }

  /** Another tab has changed something that both look at. */
  async heard(word: Word): Promise<void> {
    if (word === "locked") this.#lockHere();
    if (word === "identity") await this.#session.start();
    if (word === "rulebook") await this.#readRulebook();
    if (this.#session.identity === null) return;
    if (word === "rows") this.rows.baseChanged();
    if (word === "in_step") await this.#sync.recall(true);
    if (word === "in_step") await this.#heardFromPractice();
    await this.#commandsChanged();
    await this.setAside.read();
  }

  #lockHere(): void {
    this.#saveDrafts();
    this.#session.lock();
  }

  #makePhone(lock: Lock): Phone {
    const { now, newId, tellTabs, alone } = this.#around;
    const connection = this.#connection;
    return {
      get db() {
        return connection.db;
      },
      lock,
      now,
      newId,
      rulebookVersion: () => get(this.#rulebook)?.version ?? "",
      tellTabs,
      alone,
      report: (cause) => {
        this.#mending.report(cause);
      },
    };
  }

  #makeSync(http: Http): Sync {
    return new Sync(this.#phone, http, {
      credentials: () => this.#session.identity,
      commandsChanged: async () => {
        await this.#commandsChanged();
        this.#phone.tellTabs("commands");
      },
      pageApplied: (page) => {
        this.rows.pageApplied(page);
        if (page.reset || page.rows.length + page.forget.length > 0) this.#phone.tellTabs("rows");
        void this.#pulled(page).catch(this.#phone.report);
      },
      inStep: () => {
        // A whole round was written to disk.
        this.#mending.over("storage_full", "storage_broken");
        this.#phone.tellTabs("in_step");
      },
      rulebookChanged: (book) => {
        this.#rulebook.set(book);
        this.#phone.tellTabs("rulebook");
      },
      revoked: () => this.#session.revoked(),
    });
  }

  async #start(): Promise<void> {
    try {
      await this.#connection.open();
      await this.#readRulebook();
      await this.#session.start();
    } catch (cause) {
      this.#phone.report(cause);
    }
  }

  async #reopened(): Promise<void> {
    if (this.#session.identity === null) return;
    if ((await readMeta(this.#phone.db, "progress")) === undefined) {
      await this.#session.start();
      throw new Fault("storage_cleared");
    }
    await this.drafts.flush();
    this.rows.opened();
  }

  async #opened(): Promise<void> {
    // Where it fails, they are read as they are.
    await moveOldRows(this.#phone).catch(this.#phone.report);
    await this.#commandsChanged();
    await this.#sync.recall(false);
    await this.setAside.read();
    this.rows.opened();
    this.#saveDrafts();
    void this.#sync.run();
  }

  async #broughtBack(): Promise<void> {
    await this.#commandsChanged();
    await this.setAside.read();
    this.#phone.tellTabs("commands");
    void this.#sync.run();
  }

  async #pulled(page: PullReply): Promise<void> {
    for (const { kind, row } of page.rows) {
      const key = kind === "practice" ? row?.["recovery_key"] : undefined;
      if (typeof key === "string") await this.#session.heardOfKey(key);
    }
    if (!page.more) await this.#heardFromPractice();
  }

  async #heardFromPractice(): Promise<void> {
    const before = this.#phone.lock.phase;
    await this.#session.heard();
    if (this.#phone.lock.phase === before) return;
    await this.#commandsChanged();
    this.rows.opened();
  }

  #closed(): void {
    this.#session.locked();
    this.#hideRecords();
    this.setAside.forget();
    this.#sync.stop();
  }

  /** Drops everything that was shown, and keeps what sending and fetching need. */
  #hideRecords(): void {
    this.rows.close();
    this.attention.show([]);
  }

  #shows(): boolean {
    return this.#phone.lock.phase !== "lease_over";
  }

  #saveDrafts(): void {
    void this.#flushDrafts().catch(this.#phone.report);
  }

  async #flushDrafts(): Promise<void> {
    if (this.#session.identity !== null) await this.drafts.flush();
  }

  async #readRulebook(): Promise<void> {
    this.#rulebook.set((await readMeta(this.#phone.db, "rulebook")) ?? null);
  }

  /** One reading after the other, so that an older one never has the last word. */
  #commandsChanged(): Promise<void> {
    this.#reading = this.#reading.catch(() => undefined).then(() => this.#readCommands());
    return this.#reading;
  }

  async #readCommands(): Promise<void> {
    const before = this.#issued;
    const [waiting, applied, refused] = await Promise.all([
      readOutbox(this.#phone),
      readApplied(this.#phone),
      readRefused(this.#phone),
    ]);
    // One that was issued during the reading may be missing from it.
    if (before !== this.#issued) return this.#readCommands();
    this.rows.replay(this.#shows() ? [...applied, ...waiting] : []);
    this.attention.show(this.#shows() ? refused : []);
    this.#sync.count(waiting, refused.length);
  }
}
