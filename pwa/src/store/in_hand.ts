/**
 * The commands that matter to the screens, in memory as they stand on disk. What is written here is carried
 * over; the disk is read at an unlock, and where another tab or something rare has changed it.
 */
import type { Id } from "../wire/types";
import { type CommandLists, type HeldCommand, isOnDisk, readCommands } from "./commands";
import type { Phone } from "./phone";

const NONE: CommandLists = { waiting: [], applied: [], refused: [] };

export class CommandsInHand {
  readonly #phone: Phone;
  readonly #changed: (lists: CommandLists, last: HeldCommand | null) => void;
  #lists = NONE;
  #changes = 0;
  #reading: Promise<void> = Promise.resolve();

  /** `changed` is told after every change; `last` is what came at the end, where nothing else has changed. */
  constructor(phone: Phone, changed: (lists: CommandLists, last: HeldCommand | null) => void) {
    this.#phone = phone;
    this.#changed = changed;
  }

  get lists(): CommandLists {
    return this.#lists;
  }

  added(command: HeldCommand): void {
    const { waiting } = this.#lists;
    if (command.number > (waiting.at(-1)?.number ?? 0))
      this.#become({ waiting: [...waiting, command] }, command);
    else this.#become({ waiting: merged(waiting, [command]) });
  }

  /** They have their receipts. */
  answered(commands: readonly HeldCommand[]): void {
    const { waiting, applied, refused } = this.#lists;
    this.#become({
      waiting: without(waiting, commands),
      applied: merged(
        applied,
        commands.filter(({ refusal }) => refusal === null),
      ),
      refused: merged(
        refused,
        commands.filter(({ refusal }) => refusal !== null),
      ),
    });
  }

  /** Their effects are in the base rows. */
  covered(ids: readonly Id[]): void {
    this.#become({
      applied: without(
        this.#lists.applied,
        ids.map((id) => ({ id })),
      ),
    });
  }

  /** One reading after the other, so that an older one never has the last word. */
  read(): Promise<void> {
    this.#reading = this.#reading.catch(() => undefined).then(() => this.#read());
    return this.#reading;
  }

  /** A tab that slept may have missed another one's word. */
  async check(): Promise<void> {
    if (!(await isOnDisk(this.#phone, this.#lists))) await this.read();
  }

  /** With the key goes what it opened. Nobody is told: what is shown closes by itself. */
  forget(): void {
    this.#changes += 1;
    this.#lists = NONE;
  }

  async #read(): Promise<void> {
    const before = this.#changes;
    const lists = await readCommands(this.#phone);
    // What was changed during the reading may be missing from it.
    if (before !== this.#changes) return this.#read();
    this.#become(lists);
  }

  #become(lists: Partial<CommandLists>, last: HeldCommand | null = null): void {
    this.#changes += 1;
    this.#lists = { ...this.#lists, ...lists };
    this.#changed(this.#lists, last);
  }
}

function merged(
  before: readonly HeldCommand[],
  more: readonly HeldCommand[],
): readonly HeldCommand[] {
  if (more.length === 0) return before;
  // One may have been read from the disk before word of it came.
  return [...without(before, more), ...more].sort((one, other) => one.number - other.number);
}

function without(
  before: readonly HeldCommand[],
  gone: readonly { id: Id }[],
): readonly HeldCommand[] {
  if (gone.length === 0) return before;
  const ids = new Set(gone.map(({ id }) => id));
  return before.filter(({ id }) => !ids.has(id));
}
