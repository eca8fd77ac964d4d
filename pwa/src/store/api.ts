/** What the screens may ask of the store. Every change goes through `issue`; every wait ends on disk. */
import type { CommandArgs, CommandName } from "../domain/commands";
import type { Size } from "../domain/pictures";
import type { RowKind, RowOf } from "../domain/rows";
import type {
  Id,
  Instant,
  LogDays,
  LogForm,
  LogName,
  PaperName,
  Practice,
  Refusal,
  PlanAsked,
  PlanRun,
  PostCodeFound,
  ResidentsRead,
  RulebookBody,
  Staff,
} from "../wire/types";

/** Svelte's store contract: `run` is called at once, and on every change, until the returned stop. */
export interface Observable<T> {
  subscribe(run: (value: T) => void): () => void;
}

/**
 * Signing in again on a phone that holds unsent work, or work that the server has lost, leads to `locked`: the
 * old passphrase opens that work.
 * starting: storage is being opened. signed_out: no device yet. choose_passphrase: signed in, nothing kept yet.
 * locked: passphrase needed. covered: short idle or hidden; PIN (or passphrase) needed. unlocked: at work.
 * lease_over: unlocked, but the practice was not heard from for too long: work is sent, nothing is shown.
 * revoked: the practice has revoked this device; its records are gone.
 */
export type Phase =
  | "starting"
  | "signed_out"
  | "choose_passphrase"
  | "locked"
  | "covered"
  | "unlocked"
  | "lease_over"
  | "revoked";

export interface SessionState {
  phase: Phase;
  device: Id | null;
  staff: Staff | null;
  practice: Practice | null;
  /** Signed in anew, and nothing of it written yet: a passphrase, old or new, comes next. */
  signed_in: boolean;
  /** Signed in to a server that was restored from a copy: what this phone had sent may be missing there. */
  records_lost: boolean;
  /** A PIN lives in memory only, so it is chosen again after each unlock by passphrase. */
  pin_set: boolean;
  pin_tries_left: number;
  /** For how long records open without a word from the practice, in hours begun; null where not known. */
  lease_left_seconds: number | null;
}

/** Codes, not words: the words are `fault.<code>` in the catalogue. */
export type FaultCode =
  | "wrong_sign_in"
  | "sign_in_needs_more"
  | "too_many_tries"
  | "other_persons_work"
  | "no_connection"
  | "server_trouble"
  | "not_our_server"
  | "not_signed_in"
  | "device_revoked"
  | "device_cloned"
  | "app_out_of_date"
  | "server_out_of_date"
  | "newer_app_open"
  | "wrong_passphrase"
  | "old_passphrase"
  | "passphrase_too_short"
  | "wrong_pin"
  | "pin_not_digits"
  | "pin_gone"
  | "locked"
  | "lease_over"
  | "recovery_refused"
  | "recovery_not_proved"
  | "not_saved_work"
  | "saved_work_damaged"
  | "saved_work_newer"
  | "storage_full"
  | "storage_broken"
  | "storage_cleared"
  | "record_damaged"
  | "too_large"
  | "not_a_picture"
  | "refused";

export interface Held<K extends RowKind> {
  id: Id;
  scope: Id | null;
  /** 0 where the server has not seen the row yet. Give it back as `seen` when amending. */
  version: number;
  /** True while a change made here has not come back from the server. */
  pending: boolean;
  row: RowOf<K>;
}

export interface RowsApi {
  all<K extends RowKind>(kind: K): Promise<readonly Held<K>[]>;
  get<K extends RowKind>(kind: K, id: Id): Promise<Held<K> | null>;
  /** Null until first read, and while locked. Changed by issue, by pull, and by other tabs. */
  live<K extends RowKind>(kind: K): Observable<readonly Held<K>[] | null>;
}

export interface DraftsApi {
  load(key: string): Promise<unknown>;
  /** Sealed and written within half a second, and at once when the page is hidden. */
  save(key: string, value: unknown): void;
  drop(key: string): Promise<void>;
  keys(): Promise<string[]>;
  flush(): Promise<void>;
}

/** A refused command with everything that was typed. It stays until a person deals with it. */
export interface AttentionItem {
  id: Id;
  name: CommandName;
  args: Record<string, unknown>;
  made_at: Instant;
  /** The version of the book that the phone had when it was made. */
  rulebook: string;
  refusal: Refusal;
}

export interface AttentionApi extends Observable<readonly AttentionItem[]> {
  dismiss(command: Id): Promise<void>;
  /** Keeps what was typed as a draft, takes the item off the list, and returns the draft's key. */
  useAgain(command: Id): Promise<string>;
}

export interface WorkCount {
  /** Not sent, or refused and not dealt with. */
  entries: number;
  /** Half written. */
  forms: number;
  /** Photos whose picture is not sent. */
  pictures: number;
  since: Instant | null;
}

/** What would be lost with the key. Readable while locked. */
export interface UnsentWork extends WorkCount {
  /** The practice has a copy of the key, and can open this where the passphrase is forgotten. */
  recoverable: boolean;
}

export interface SetAside extends UnsentWork {
  id: Id;
  set_aside_at: Instant;
  /** Why the practice has not opened it, where it was asked. */
  recovery_fault: FaultCode | null;
  /** The practice has opened it: it is no longer set aside, and shown here until the phone is locked. */
  opened: boolean;
}

/** Unsent work under a passphrase that is not this phone's: forgotten, or from another phone's file. */
export interface SetAsideApi extends Observable<readonly SetAside[]> {
  /** Opens it by its own passphrase and puts it back, to be sent. Only for the person who made it. */
  bringBack(id: Id, passphrase: string): Promise<void>;
  /** The practice opens it, over a connection; its owner is told. Done at once after a new passphrase. */
  recover(id: Id): Promise<void>;
}

/** When the contact times that run on this phone are over: known to a locked phone as well, and after a reload. */
export interface ContactTimesApi extends Observable<readonly Instant[]> {
  /** All of them, whenever one has begun or ended. */
  keep(ends: readonly Instant[]): Promise<void>;
}

/** A file of unsent work, all of it sealed as it is on the phone. */
export interface SavedWorkApi {
  /** Needs no key, so it can be had from a locked phone. */
  save(): Promise<{ name: string; file: Blob }>;
  /** Sets aside what is in such a file, on a phone where the same person is signed in. Twice is once. */
  takeIn(file: Blob): Promise<WorkCount>;
}

/** What is told of a photo, besides what the picture itself tells. */
export type PhotoTold = Pick<CommandArgs["record_photo"], "client" | "purpose"> &
  Partial<Pick<CommandArgs["record_photo"], "about" | "foot" | "view">>;

/** As it was made for keeping: JPEG, the size in pixels that of `whole`. */
export interface Picture extends Size {
  whole: Blob;
  small: Blob;
}

export interface PhotosApi {
  /** Resolves when the picture and its record are on disk, both or none. Sent when there is a connection. */
  take(told: PhotoTold, picture: Picture): Promise<{ id: Id }>;
  /** What is on this phone, the small one where there is one; null where nothing is. */
  small(photo: Id): Promise<Blob | null>;
  /** From this phone, or over a connection; then it is kept here for a while. */
  whole(photo: Id): Promise<Blob>;
}

export type SyncKey =
  "idle" | "sending" | "fetching" | "other_tab" | "waiting" | "offline" | "stopped";

export interface SyncState {
  state: SyncKey;
  /** Why it waits or has stopped. */
  detail: FaultCode | null;
  pending: number;
  oldest_pending_at: Instant | null;
  /** Photos whose picture is still to be sent; of those, the ones that this phone can't read any more. */
  photos_pending: number;
  photos_damaged: number;
  refused: number;
  last_ok_at: Instant | null;
  /** In step with the server at least once since the unlock; before that nobody knows. */
  checked: boolean;
  /** The server has been asked, and has not answered for a while. */
  slow: boolean;
  /** By how much this phone's clock is ahead of the server's, negative where behind; null before the first answer. */
  clock_off_seconds: number | null;
  /** Whether the browser promised to keep the storage; null where it cannot say. */
  storage_kept: boolean | null;
  storage_nearly_full: boolean;
}

export interface Store {
  readonly session: Observable<SessionState>;
  signIn(email: string, password: string, deviceName: string): Promise<void>;
  choosePassphrase(passphrase: string): Promise<void>;
  unlock(passphrase: string): Promise<void>;
  unsentWork(): Promise<UnsentWork>;
  /** Signed in again, the old passphrase forgotten: leads to a new one, with the unsent work set aside. */
  startAnew(): void;
  /** The records stay under the same key, which is locked away anew. Throws `wrong_passphrase`. */
  changePassphrase(old: string, passphrase: string): Promise<void>;
  lock(): void;
  setPin(pin: string): void;
  cover(): void;
  /** Throws `wrong_pin`; after the last try `pin_gone`, and the phone is locked. */
  uncover(pin: string): void;
  /**
   * The camera's app, or a choice of files, is over this one: going away for that does not cover the phone. For one
   * absence, and no longer than the usual idle time.
   */
  atCamera(on: boolean): void;
  /**
   * First aid is on the screen: it is neither covered nor locked, by idling or by going away (a call), for as long
   * as `LOCK_SETTINGS.in_use_seconds` after the last touch.
   */
  inUse(on: boolean): void;
  /** Call on any touch or key: idle times count from here. */
  touched(): void;

  readonly rows: RowsApi;
  /** Resolves when the command is on disk: only then may a screen say "saved". */
  issue<N extends CommandName>(name: N, args: CommandArgs[N]): Promise<{ id: Id }>;
  readonly drafts: DraftsApi;
  readonly attention: AttentionApi;
  readonly setAside: SetAsideApi;
  readonly savedWork: SavedWorkApi;
  readonly photos: PhotosApi;
  readonly contactTimes: ContactTimesApi;

  readonly syncState: Observable<SyncState>;
  syncNow(): Promise<void>;
  readonly rulebook: Observable<RulebookBody | null>;
  /** Storage that is full or broken, a record that cannot be opened. Null while all is well. */
  readonly trouble: Observable<FaultCode | null>;
  /** The server's PDF; needs a connection. */
  paper(name: PaperName, row: Id): Promise<Blob>;
  /** What a file of a facility's residents would change; needs a connection, and changes nothing. */
  readResidents(facility: Id, file: Blob): Promise<ResidentsRead>;
  /** Where a post code is, by the practice's own server; null where that does not know it. Needs a connection. */
  postCode(post_code: string): Promise<PostCodeFound["position"]>;
  /** A plan of days, made by the practice's own server, which books nothing. Needs a connection. */
  askPlan(asked: PlanAsked): Promise<PlanRun>;
  newestPlan(): Promise<PlanRun | null>;
  cancelPlan(run: Id): Promise<PlanRun | null>;
  /** Likewise, as a PDF or as a table. */
  log(name: LogName, days: LogDays, form: LogForm): Promise<Blob>;

  now(): Date;
  newId(): Id;
}
