/**
 * The rows as a person sees them: base rows from the server, with the commands made here replayed on top.
 * A kind is opened when it is first asked for, and stays open in memory until the phone is locked.
 */
import { type Readable, readable } from "svelte/store";

import { type AnyRow, type Change, changesOf } from "../domain/effects";
import type { RowKind, RowOf } from "../domain/rows";
import type { Id } from "../wire/types";
import type { Held, RowsApi } from "./api";
import { applyTo as applyPageTo, type Base, type BasePage } from "./base";
import { openBase } from "./blocks";
import type { Made } from "./commands";
import type { Identity } from "./db";
import type { Phone } from "./phone";

type AnyHeld = Held<RowKind>;
type View = Map<Id, AnyHeld>;
type Listener = (held: readonly AnyHeld[] | null) => void;

export class Records implements RowsApi {
  readonly #phone: Phone;
  readonly #identity: () => Pick<Identity, "staff" | "device"> | null;
  readonly #bases = new Map<RowKind, Promise<Base>>();
  readonly #views = new Map<RowKind, Promise<View>>();
  /** Those of the views that are ready. */
  readonly #built = new Map<RowKind, View>();
  readonly #listeners = new Map<RowKind, Set<Listener>>();
  readonly #toTell = new Set<RowKind>();
  #pending: Change[] = [];
  /** The commands whose changes those are. */
  #replayed: Id[] = [];

  constructor(phone: Phone, identity: () => Pick<Identity, "staff" | "device"> | null) {
    this.#phone = phone;
    this.#identity = identity;
  }

  async all<K extends RowKind>(kind: K): Promise<readonly Held<K>[]> {
    return [...(await this.#view(kind)).values()] as unknown as Held<K>[];
  }

  async get<K extends RowKind>(kind: K, id: Id): Promise<Held<K> | null> {
    const found = (await this.#view(kind)).get(id);
    return (found as unknown as Held<K> | undefined) ?? null;
  }

  live<K extends RowKind>(kind: K): Readable<readonly Held<K>[] | null> {
    return readable<readonly Held<K>[] | null>(null, (set) => {
      const listener: Listener = (held) => {
        set(held as unknown as readonly Held<K>[] | null);
      };
      const listeners = this.#listeners.get(kind) ?? new Set();
      this.#listeners.set(kind, listeners.add(listener));
      this.#tell(kind);
      return () => listeners.delete(listener);
    });
  }

  /** All commands that the base rows do not hold yet, in order. Those that are on top already stay as they are. */
  replay(commands: readonly Made[]): void {
    const known = this.#replayed;
    this.#replayed = commands.map(({ id }) => id);
    if (known.every((id, at) => id === this.#replayed[at])) {
      for (const command of commands.slice(known.length)) this.#replayOne(command);
      return;
    }
    const before = this.#pending;
    this.#pending = commands.flatMap((command) => this.#changes(command));
    for (const { kind } of [...before, ...this.#pending]) this.#renew(kind);
  }

  /** The last of `count` commands. False, and nothing is done, where the others are not all on top already. */
  replayLast(command: Made, count: number): boolean {
    if (this.#replayed.length !== count - 1) return false;
    this.#replayed.push(command.id);
    this.#replayOne(command);
    return true;
  }

  #replayOne(command: Made): void {
    const changes = this.#changes(command);
    this.#pending.push(...changes);
    for (const change of changes) {
      // A view that is still being built takes it from what is pending.
      const view = this.#built.get(change.kind);
      if (view !== undefined) applyTo(view, change);
      this.#tell(change.kind);
    }
  }

  /** The same page that was written to disk, for the kinds that are open. */
  pageApplied(page: BasePage): void {
    // A kind that could not be opened may be whole again.
    if (page.reset) for (const kind of this.#listeners.keys()) this.#tell(kind);
    for (const [kind, base] of this.#bases) {
      void base.then((rows) => {
        if (applyPageTo(rows, kind, page)) this.#renew(kind);
      });
    }
  }

  /** Base rows on disk were changed by another tab. */
  baseChanged(): void {
    const open = [...this.#bases.keys()];
    this.#bases.clear();
    for (const kind of open) this.#renew(kind);
  }

  /** Tells everybody who listens, after an unlock. */
  opened(): void {
    for (const kind of this.#listeners.keys()) this.#tell(kind);
  }

  /** Drops everything that is open in memory. */
  close(): void {
    this.#bases.clear();
    this.#views.clear();
    this.#built.clear();
    this.#pending = [];
    this.#replayed = [];
    for (const listeners of this.#listeners.values()) {
      for (const listener of listeners) listener(null);
    }
  }

  #changes(command: Made): Change[] {
    const { staff, device } = this.#identity() ?? { staff: { id: "", name: "" }, device: "" };
    const { made_at: at, rulebook } = command;
    const made = { staff: staff.id, name: staff.name, device, at, rulebook };
    return changesOf(command.name, command.args, made);
  }

  #renew(kind: RowKind): void {
    this.#views.delete(kind);
    this.#built.delete(kind);
    this.#tell(kind);
  }

  /** Once for many changes: listeners are told when the present task is over. */
  #tell(kind: RowKind): void {
    if (!this.#listeners.has(kind)) return;
    if (this.#toTell.size === 0) queueMicrotask(() => void this.#tellAll());
    this.#toTell.add(kind);
  }

  async #tellAll(): Promise<void> {
    const kinds = [...this.#toTell];
    this.#toTell.clear();
    for (const kind of kinds) {
      const listeners = this.#listeners.get(kind);
      if (listeners === undefined || listeners.size === 0 || !this.#isOpen()) continue;
      try {
        const held = await this.all(kind);
        if (this.#isOpen()) for (const listener of listeners) listener(held);
      } catch (cause) {
        if (this.#isOpen()) this.#phone.report(cause);
      }
    }
  }

  #isOpen(): boolean {
    return this.#phone.lock.phase === "unlocked" || this.#phone.lock.phase === "covered";
  }

  #view(kind: RowKind): Promise<View> {
    const known = this.#views.get(kind);
    if (known !== undefined) return known;
    const view: Promise<View> = this.#base(kind).then((base) => {
      const fresh: View = new Map();
      for (const { id, scope, version, row } of base.values()) {
        fresh.set(id, {
          id,
          scope,
          version,
          pending: false,
          row: row as unknown as RowOf<RowKind>,
        });
      }
      for (const change of this.#pending) if (change.kind === kind) applyTo(fresh, change);
      if (this.#views.get(kind) === view) this.#built.set(kind, fresh);
      return fresh;
    });
    this.#views.set(kind, view);
    view.catch(() => this.#views.delete(kind));
    return view;
  }

  #base(kind: RowKind): Promise<Base> {
    const known = this.#bases.get(kind);
    if (known !== undefined) return known;
    const base = openBase(this.#phone, kind);
    this.#bases.set(kind, base);
    base.catch(() => this.#bases.delete(kind));
    return base;
  }
}

function applyTo(view: View, change: Change): void {
  const ids = change.id === null ? [...view.keys()] : [change.id];
  for (const id of ids) applyToRow(view, id, change);
}

function applyToRow(view: View, id: Id, change: Change): void {
  const before = view.get(id);
  const row = change.becomes((before?.row as AnyRow | undefined) ?? null);
  if (row === null) {
    view.delete(id);
    return;
  }
  if (row === before?.row) return;
  view.set(id, {
    id,
    scope: before?.scope ?? change.scope,
    version: before?.version ?? 0,
    pending: true,
    row: row as unknown as RowOf<RowKind>,
  });
}
