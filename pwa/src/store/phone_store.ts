/** The store as the screens call it: each wish, and the parts that fulfil it. */
import type { Readable } from "svelte/store";

import type { CommandArgs, CommandName } from "../domain/commands";
import type {
  Id,
  LogDays,
  LogForm,
  LogName,
  PaperName,
  PlanAsked,
  PlanRun,
  PostCodeFound,
  ResidentsRead,
  RulebookBody,
} from "../wire/types";
import type { FaultCode, SessionState, Store, SyncState, UnsentWork } from "./api";
import type { ContactTimes } from "./contact_times";
import type { Attention } from "./attention";
import { toBase64 } from "./base64";
import { writeCommand } from "./commands";
import type { Identity } from "./db";
import type { Drafts } from "./drafts";
import { Fault, faultOf } from "./fault";
import { Parts, type Surroundings } from "./parts";
import type { Word } from "./phone";
import type { Photos } from "./photos";
import type { Records } from "./records";
import type { SavedWork } from "./saved_work";
import type { AsideWork } from "./set_aside";

export class PhoneStore implements Store {
  readonly rows: Records;
  readonly drafts: Drafts;
  readonly attention: Attention;
  readonly setAside: AsideWork;
  readonly savedWork: SavedWork;
  readonly photos: Photos;
  readonly contactTimes: ContactTimes;
  readonly session: Readable<SessionState>;
  readonly syncState: Readable<SyncState>;
  readonly rulebook: Readable<RulebookBody | null>;
  readonly trouble: Readable<FaultCode | null>;
  readonly #around: Surroundings;
  readonly #parts: Parts;
  #ready: Promise<void> = Promise.resolve();
  #atCamera = false;

  constructor(around: Surroundings) {
    const parts = new Parts(around);
    this.#around = around;
    this.#parts = parts;
    this.rows = parts.records;
    this.drafts = parts.drafts;
    this.attention = parts.attention;
    this.setAside = parts.setAside;
    this.savedWork = parts.savedWork;
    this.photos = parts.photos;
    this.contactTimes = parts.contactTimes;
    this.session = parts.session.state;
    this.syncState = parts.sync.state;
    this.rulebook = parts.rulebook.book;
    this.trouble = parts.mending.trouble;
  }

  /** Opens the database and finds out whose phone this is. */
  start(): Promise<void> {
    this.#ready = this.#parts.start();
    return this.#ready;
  }

  async signIn(email: string, password: string, deviceName: string): Promise<void> {
    await this.#ready;
    await this.#parts.saveDrafts();
    await this.#parts.session.signIn(email, password, deviceName);
    this.#parts.mending.over("storage_cleared");
  }

  async choosePassphrase(passphrase: string): Promise<void> {
    const { connection, session, phone } = this.#parts;
    await connection.retrying(() => session.choosePassphrase(passphrase));
    void this.setAside.recoverAll().catch(phone.report);
  }

  async unlock(passphrase: string): Promise<void> {
    await this.#ready;
    const { connection, session } = this.#parts;
    await connection.retrying(() => session.unlock(passphrase));
  }

  async unsentWork(): Promise<UnsentWork> {
    await this.#ready;
    return this.#parts.session.unsentWork();
  }

  startAnew(): void {
    this.#parts.session.startAnew();
  }

  changePassphrase(old: string, passphrase: string): Promise<void> {
    return this.#parts.session.changePassphrase(old, passphrase);
  }

  lock(): void {
    this.#parts.lock();
    this.#around.tellTabs("locked");
  }

  setPin(pin: string): void {
    this.#parts.phone.lock.setPin(pin);
  }

  cover(): void {
    void this.#parts.saveDrafts();
    this.#parts.phone.lock.cover();
  }

  atCamera(on: boolean): void {
    this.#atCamera = on;
  }

  /** The page is not to be seen any more. */
  hidden(): void {
    if (this.#atCamera || this.#parts.phone.lock.inUse) void this.#parts.saveDrafts();
    else this.cover();
  }

  /** The page is looked at again. */
  shown(): void {
    this.#atCamera = false;
    this.tick();
    void this.syncNow();
  }

  uncover(pin: string): void {
    this.#parts.phone.lock.uncover(pin);
  }

  inUse(on: boolean): void {
    this.#parts.phone.lock.setInUse(on);
  }

  touched(): void {
    this.#parts.phone.lock.touched();
  }

  /** Call now and then, and when the screen is looked at again. */
  tick(): void {
    this.#parts.mending.tick();
    void this.#parts.saveDrafts();
    this.#parts.phone.lock.tick();
    this.#parts.session.tick();
  }

  async issue<N extends CommandName>(name: N, args: CommandArgs[N]): Promise<{ id: Id }> {
    const { connection, phone } = this.#parts;
    const command = await connection.retrying(() => writeCommand(phone, name, args));
    this.#parts.added(command);
    return { id: command.id };
  }

  syncNow(): Promise<void> {
    return this.#parts.sync.afresh();
  }

  storageIs({ kept, nearly_full }: { kept: boolean; nearly_full: boolean }): void {
    this.#parts.sync.say({ storage_kept: kept, storage_nearly_full: nearly_full });
  }

  paper(name: PaperName, row: Id): Promise<Blob> {
    return this.#asked((as) => this.#around.http.paper(as, name, row));
  }

  async readResidents(facility: Id, file: Blob): Promise<ResidentsRead> {
    const content = toBase64(new Uint8Array(await file.arrayBuffer()));
    return this.#asked((as) => this.#around.http.readResidents(as, facility, content));
  }

  postCode(post_code: string): Promise<PostCodeFound["position"]> {
    return this.#asked((as) => this.#around.http.postCode(as, post_code));
  }

  askPlan(asked: PlanAsked): Promise<PlanRun> {
    return this.#asked((as) => this.#around.http.askPlan(as, asked));
  }

  newestPlan(): Promise<PlanRun | null> {
    return this.#asked((as) => this.#around.http.newestPlan(as));
  }

  cancelPlan(run: Id): Promise<PlanRun | null> {
    return this.#asked((as) => this.#around.http.cancelPlan(as, run));
  }

  log(name: LogName, days: LogDays, form: LogForm): Promise<Blob> {
    return this.#asked((as) => this.#around.http.log(as, name, days, form));
  }

  async #asked<T>(ask: (as: Identity) => Promise<T>): Promise<T> {
    const { identity } = this.#parts.session;
    if (identity === null || !this.#parts.shows()) throw new Fault("locked");
    try {
      return await ask(identity);
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
  heard(word: Word): Promise<void> {
    return this.#parts.heard(word);
  }
}
