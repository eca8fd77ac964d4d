/** The phone in somebody's hand: what it shows them, and what they choose by a seeded chance. */
import type { CommandName } from "../../../pwa/src/domain/commands";
import type { RowKind } from "../../../pwa/src/domain/rows";
import type { Held } from "../../../pwa/src/store/api";
import type { Tab } from "./phone";
import { pick, type Random } from "./random";

export type Form = Record<string, unknown>;

export interface Forms {
  forms: Record<string, Form>;
  health: Form[];
  feet: Form[];
}

export interface Deed {
  name: CommandName;
  args: Form;
}

export type Doing = (hand: Hand) => Promise<Form | null>;

type Rows = <K extends RowKind>(kind: K) => Promise<readonly Held<K>[]>;

/** The phone in somebody's hand, with a random number generator for what they choose. */
export class Hand {
  readonly #tab: Tab;
  readonly #given: Forms;
  readonly #random: Random;
  readonly rows: Rows;

  constructor(tab: Tab, given: Forms, random: Random) {
    this.#tab = tab;
    this.#given = given;
    this.#random = random;
    this.rows = (kind) => tab.store.rows.all(kind);
  }

  form(name: string, more: Form): Form {
    return { ...this.#given.forms[name], ...more };
  }

  health(): Form {
    return this.one(this.#given.health);
  }

  feet(): Form {
    return this.one(this.#given.feet);
  }

  one<T>(all: readonly T[]): T {
    return pick(all, this.#random.below(1 << 16));
  }

  id(): string {
    return this.#tab.store.newId();
  }

  number(below: number): number {
    return this.#random.below(below);
  }

  /** So many hours from now, by the phone's clock. */
  time(hours = 0): string {
    return new Date(
      this.#tab.store.now().getTime() + hours * 3_600_000,
    ).toISOString();
  }

  day(days = 0): string {
    return this.time(24 * days).slice(0, 10);
  }

  get role(): string {
    return this.#tab.phone.person.role;
  }

  get staff(): string {
    return this.#tab.phone.person.staff;
  }

  /** With a client of this phone, often the one who is booked first; null where it has none. */
  async withClient(more: Form): Promise<Form | null> {
    const due = (await this.rows("booking")).find(
      ({ row }) => row.state === "booked",
    );
    if (due !== undefined && this.number(2) === 0)
      return { client: due.row.client, ...more };
    const clients = await this.rows("client");
    return clients.length === 0
      ? null
      : { client: this.one(clients).id, ...more };
  }

  async somebody(): Promise<string> {
    const staff = await this.rows("staff");
    return staff.length === 0 ? this.staff : this.one(staff).id;
  }

  async technician(): Promise<string> {
    const staff = (await this.rows("staff")).filter(
      ({ row }) => row.role !== "coordinator",
    );
    return staff.length === 0 ? this.staff : this.one(staff).id;
  }
}
