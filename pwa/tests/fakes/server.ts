/**
 * A server that keeps the sync protocol in memory, with faults on demand. Stands in for the real one in
 * unit tests of the store only; the real one is met in tests/system.
 */
import { changesOf } from "../../src/domain/effects";
import { type Credentials, type Http, HttpFault, type PhotoPart } from "../../src/wire/http";
import { FakePhotos } from "./photos";
import type {
  Command,
  CommandResult,
  FeedRow,
  Practice,
  PullReply,
  PushReply,
  Refusal,
  ResidentsRead,
  RulebookBody,
  Staff,
} from "../../src/wire/types";

export const STAFF: Staff = { id: "staff-1", name: "Invented Technician", role: "technician" };
export const PRACTICE: Practice = {
  id: "practice-1",
  name: "Invented Practice",
  zone: "America/Chicago",
  units: "metric",
  invented: true,
  recovery_key: "",
};
const LEASE_SECONDS = 30 * 86_400;

export type PushFault = "before" | "reply_lost" | "twice";

export class FakeServer implements Http {
  readonly receipts = new Map<string, CommandResult>();
  readonly received: Command[] = [];
  readonly feed = new Map<string, FeedRow>();
  readonly faults: (PushFault | HttpFault)[] = [];
  readonly refuse = new Map<string, Refusal>();
  readonly photos = new FakePhotos((photo) => this.feed.get(`photo/${photo}`)?.row ?? null);
  book: RulebookBody = { version: "a".repeat(64) };
  staff = STAFF;
  practice = PRACTICE;
  /** Its clock; null is the real one. */
  clock: string | null = null;
  lease_seconds = LEASE_SECONDS;
  pageSize = 1000;
  forget: string[] = [];
  reset = false;
  pullFault: HttpFault | null = null;
  version = 0;
  readonly #places = new WeakMap<CommandResult, string>();
  #given = 0;

  login(_email: string, password: string): Promise<string> {
    if (password !== "right") return Promise.reject(new HttpFault("server_trouble", 400));
    return Promise.resolve("session");
  }

  endSession(): Promise<void> {
    return Promise.resolve();
  }

  enrol(_session: string, device: string, _name: string, heard: string | null) {
    const { staff, practice, lease_seconds } = this;
    const next_seq = this.nextSeq(device);
    const now = this.#now();
    return Promise.resolve({
      token: "token",
      device,
      staff,
      practice,
      next_seq,
      now,
      lease_seconds,
      lost: this.#isLost(heard),
    });
  }

  async push(
    { device }: Credentials,
    commands: readonly Command[],
    heard: string | null,
  ): Promise<PushReply> {
    const fault = this.faults.shift();
    await Promise.resolve();
    if (fault instanceof HttpFault) throw fault;
    if (fault === "before") throw new HttpFault("no_connection", 0);
    const reply = this.#take(device, commands, heard);
    if (fault === "reply_lost") throw new HttpFault("no_connection", 0);
    return fault === "twice" ? this.#take(device, commands, heard) : reply;
  }

  pull({ device }: Credentials, cursor: string | null, heard: string | null): Promise<PullReply> {
    if (this.pullFault !== null) return Promise.reject(this.pullFault);
    const since = cursor === null || this.reset ? 0 : Number(cursor);
    const newer = [...this.feed.values()]
      .filter((row) => row.version > since)
      .sort((one, other) => one.version - other.version);
    const rows = newer.slice(0, this.pageSize);
    const more = newer.length > rows.length;
    const { forget, reset, lease_seconds } = this;
    this.reset = false;
    return Promise.resolve({
      device,
      cursor: String(rows.at(-1)?.version ?? since),
      more,
      reset,
      forget,
      rows: structuredClone(rows),
      next_seq: this.nextSeq(device),
      now: this.#now(),
      lease_seconds,
      heard: this.#place(),
      lost: this.#isLost(heard),
    });
  }

  /** Returns what sets the server back to this moment: the receipts and rows of then. */
  backUp(): () => void {
    const [receipts, feed, received] = [[...this.receipts], [...this.feed], [...this.received]];
    return () => {
      this.receipts.clear();
      for (const [key, receipt] of receipts) this.receipts.set(key, receipt);
      this.feed.clear();
      for (const [key, row] of feed) this.feed.set(key, row);
      this.received.splice(0, Infinity, ...received);
      this.reset = true;
    };
  }

  rulebook(_as: Credentials, held: string | null): Promise<RulebookBody | null> {
    return Promise.resolve(held === this.book.version ? null : this.book);
  }

  paper(): Promise<Blob> {
    return Promise.resolve(new Blob(["%PDF"], { type: "application/pdf" }));
  }

  readResidents(): Promise<ResidentsRead> {
    return Promise.resolve({ no_list: { code: "file_empty", text: "", remedy: "" } });
  }

  postCode(): Promise<null> {
    return Promise.resolve(null);
  }

  askPlan(): Promise<never> {
    return Promise.reject(new HttpFault("no_connection", 0));
  }

  newestPlan(): Promise<null> {
    return Promise.resolve(null);
  }

  cancelPlan(): Promise<null> {
    return Promise.resolve(null);
  }

  log(): Promise<Blob> {
    return Promise.resolve(new Blob(["%PDF"], { type: "application/pdf" }));
  }

  photoParts(_as: Credentials, photo: string) {
    return this.photos.answer(photo);
  }

  photoPart(_as: Credentials, photo: string, part: PhotoPart) {
    return this.photos.take(photo, part);
  }

  photoWhole(_as: Credentials, photo: string) {
    return this.photos.whole(photo);
  }

  photo(_as: Credentials, photo: string) {
    return this.photos.picture(photo);
  }

  /** By default the practice opens no copy; a test that needs one says how. */
  recover(_as: Credentials, copy: string): Promise<string> {
    const key = this.openCopy(copy);
    return key === null
      ? Promise.reject(new HttpFault("copy_not_opened", 400))
      : Promise.resolve(key);
  }

  openCopy: (copy: string) => string | null = () => null;

  put(kind: string, id: string, row: Record<string, unknown> | null, scope = id): void {
    this.version += 1;
    this.feed.set(`${kind}/${id}`, { kind, id, scope, version: this.version, row });
  }

  nextSeq(device: string): number {
    const seqs = [...this.receipts.keys()]
      .filter((key) => key.startsWith(`${device}/`))
      .map((key) => Number(key.split("/")[1]));
    return Math.max(0, ...seqs) + 1;
  }

  #take(device: string, commands: readonly Command[], heard: string | null): PushReply {
    const lost = this.#isLost(heard);
    const results = commands.map((command) =>
      lost ? heldBack(command) : this.#one(device, command),
    );
    const next_seq = this.nextSeq(device);
    return { device, results, next_seq, now: this.#now(), heard: this.#place(), lost };
  }

  /** How far its history goes: to the newest receipt. Whoever takes receipts away has a history lost. */
  #place(): string {
    const newest = [...this.receipts.values()].at(-1);
    return newest === undefined ? "0" : this.#placeOf(newest);
  }

  #placeOf(receipt: CommandResult): string {
    const place = this.#places.get(receipt) ?? String((this.#given += 1));
    this.#places.set(receipt, place);
    return place;
  }

  #isLost(heard: string | null): boolean {
    const known = [...this.receipts.values()].map((receipt) => this.#placeOf(receipt));
    return heard !== null && heard !== "0" && !known.includes(heard);
  }

  #now(): string {
    return this.clock ?? new Date().toISOString();
  }

  #one(device: string, command: Command): CommandResult {
    const { seq } = command;
    const known = this.receipts.get(`${device}/${seq}`);
    if (known !== undefined) return { ...known, status: "already_applied" };
    if (seq !== this.nextSeq(device)) {
      return heldBack(command);
    }
    const receipt = this.#again(command) ?? this.#first(command);
    this.receipts.set(`${device}/${seq}`, receipt);
    return receipt;
  }

  #idsOf(kind: string): string[] {
    return [...this.feed.values()].filter((row) => row.kind === kind).map(({ id }) => id);
  }

  /** A known id under another number is an outbox that moved; other content is a clone's work. */
  #again(command: Command): CommandResult | null {
    const before = this.received.find(({ id }) => id === command.id);
    if (before === undefined) return null;
    const [, stored] = [...this.receipts].find(([, { id }]) => id === command.id) ?? [];
    const same = JSON.stringify({ ...before, seq: command.seq }) === JSON.stringify(command);
    if (!same || stored === undefined) {
      throw new HttpFault("device_cloned", 409);
    }
    return { ...stored, seq: command.seq, status: "already_applied" };
  }

  #first(command: Command): CommandResult {
    this.received.push(command);
    const refusal = this.refuse.get(command.name) ?? null;
    const status = refusal === null ? "applied" : "refused";
    if (refusal === null) this.#apply(command);
    return { id: command.id, seq: command.seq, status, refusal, incidents: [] };
  }

  #apply(command: Command): void {
    const { id: staff, name } = this.staff;
    const { made_at: at, rulebook } = command;
    const made = { staff, name, device: "device-1", at, rulebook };
    for (const change of changesOf(command.name, command.args, made)) {
      for (const id of change.id === null ? this.#idsOf(change.kind) : [change.id]) {
        const before = this.feed.get(`${change.kind}/${id}`);
        const row = change.becomes(before?.row ?? null);
        if (change.id === null && row === before?.row) continue;
        this.put(change.kind, id, row, before?.scope ?? change.scope ?? "practice-1");
      }
    }
  }
}

function heldBack({ id, seq }: Command): CommandResult {
  return { id, seq, status: "held_back", refusal: null, incidents: [] };
}
