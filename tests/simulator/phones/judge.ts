/** What must hold, by the numbers of docs/sync.md; and the notes that are needed to say whether it does. */
import type { CommandResult, PullReply } from "../../../pwa/src/wire/types";
import type { Message, Reply } from "./network";
import { unpacked } from "./network";
import type { Phone } from "./phone";

export interface Saved {
  id: string;
  phone: Phone;
  name: string;
  args: Record<string, unknown>;
  receiptAt: number | null;
}

export interface Broken {
  /** The number in docs/sync.md. */
  invariant: number;
  what: string;
}

export interface LoggedCommand {
  id: string;
  device: string;
  seq: number;
  name: string;
  status: string;
  receipt: CommandResult;
  incidents: string[];
  /** Whether who sent it may see incidents. */
  hears_of_incidents: boolean;
  links: number;
  applied: number;
  args: Record<string, unknown> | null;
}

export interface Inspection {
  commands: LoggedCommand[];
  devices: {
    id: string;
    staff: string;
    last_seq: number;
    revoked: boolean;
    redelivered: number[];
  }[];
  seen: Record<string, string[]>;
  chain: string[];
}

/** The same for values that are the same, whatever the order of their fields. */
export function canonical(value: unknown): string {
  return JSON.stringify(value, (_key, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(
          Object.entries(part).sort(([one], [other]) => (one < other ? -1 : 1)),
        )
      : part,
  );
}

export class Judge {
  readonly saved = new Map<string, Saved>();
  readonly broken: Broken[] = [];
  #receipts = new Map<string, string>();
  /** Refused entries that a person has taken off the list, or is taking off it. */
  readonly dealtWith = new Set<string>();
  restoredAt: number[] = [];
  /** When a phone was last wiped because its practice wanted that. */
  readonly wipedAt = new Map<Phone, number>();
  /** What a server has forgotten that only a phone had which its practice has wiped: counted, and told. */
  readonly wiped = new Set<string>();
  step = 0;

  breaks(invariant: number, what: string): void {
    this.broken.push({ invariant, what });
  }

  isSaved(saved: Omit<Saved, "receiptAt">): void {
    if (this.saved.has(saved.id))
      this.breaks(3, `id ${saved.id} was given twice`);
    this.saved.set(saved.id, { ...saved, receiptAt: null });
  }

  heard(phone: Phone, message: Message, reply: Reply): void {
    if (
      reply.status >= 500 &&
      message.place === "gone" &&
      message.reply === reply
    )
      this.breaks(0, `${message.path} was answered ${reply.status}`);
    if (reply.status !== 200 || message.reply !== reply) return;
    const told: unknown = JSON.parse(unpacked(reply).toString());
    if (message.path === "/api/push")
      this.#receiptsCame(message, told as { results: CommandResult[] });
    if (message.path === "/api/pull")
      this.#pageCame(phone, message, told as PullReply);
  }

  #receiptsCame(
    { servedAt }: Message,
    { results }: { results: CommandResult[] },
  ): void {
    const ofLostHistory = this.#restoredSince(servedAt);
    for (const result of results) {
      if (result.status === "held_back") continue;
      const saved = this.saved.get(result.id);
      if (saved !== undefined) saved.receiptAt = servedAt;
      if (ofLostHistory) continue;
      const told = lasting(result);
      const before = this.#receipts.get(result.id);
      if (before !== undefined && before !== told)
        this.breaks(
          2,
          `the receipt of ${result.id} was ${before}, and is now ${told}`,
        );
      this.#receipts.set(result.id, told);
    }
  }

  #pageCame(phone: Phone, message: Message, page: PullReply): void {
    // All pages of one answer end at the number that was the newest at the first.
    phone.pagingSince ??= message.servedAt;
    if (!page.more) {
      phone.caughtUpAt = phone.pagingSince;
      phone.pagingSince = null;
    }
    const asked = JSON.parse(message.body.toString()) as {
      cursor: string | null;
    };
    const [before, after] = [place(asked.cursor), place(page.cursor)];
    if (!page.reset && after < before)
      this.breaks(6, `${phone.name}'s cursor fell to ${after}`);
  }

  /** The server has the receipts of the backup: what it says of the rest may be new. */
  restored(commands: readonly LoggedCommand[]): void {
    this.restoredAt.push(this.step);
    this.#receipts = new Map(
      commands.map(({ id, receipt }) => [id, lasting(receipt)]),
    );
  }

  /** Whether the server has forgotten the receipt that this command's phone has. */
  isForgotten({ receiptAt }: Saved): boolean {
    return receiptAt !== null && this.#restoredSince(receiptAt);
  }

  /** A restore is noted before it is counted, so it may have the number of what was served before. */
  #restoredSince(servedAt: number): boolean {
    return this.restoredAt.some((step) => step >= servedAt);
  }

  isMissing(saved: Saved): void {
    const { id, name, phone } = saved;
    const wipedAt = this.wipedAt.get(phone) ?? -1;
    if (this.isForgotten(saved) && wipedAt > (saved.receiptAt ?? Infinity))
      this.wiped.add(id);
    else this.breaks(1, `${name} ${id} of ${phone.name} is lost`);
  }

  log({ commands, devices, chain }: Inspection): void {
    for (const command of commands) this.#once(command);
    for (const device of devices) this.#inOrder(device, commands);
    for (const fault of chain) this.breaks(8, `the log's chain: ${fault}`);
  }

  #once(command: LoggedCommand): void {
    const { id, name, status, receipt, links, applied, args } = command;
    const due = status === "refused" ? 0 : 1;
    if (applied !== due)
      this.breaks(
        2,
        `${name} ${id} was ${status} and carried out ${applied} times`,
      );
    const told = command.hears_of_incidents ? command.incidents : [];
    if (canonical([...receipt.incidents].sort()) !== canonical(told))
      this.breaks(
        2,
        `${name} ${id} raised ${told.length} incidents, and its receipt has others`,
      );
    if (links !== 1)
      this.breaks(2, `${name} ${id} is in the chain ${links} times`);
    const saved = this.saved.get(id);
    if (
      status === "refused" &&
      saved !== undefined &&
      canonical(saved.args) !== canonical(args)
    )
      this.breaks(
        8,
        `what was typed into ${name} ${id} is not what the log has`,
      );
  }

  #inOrder(
    device: Inspection["devices"][number],
    commands: readonly LoggedCommand[],
  ): void {
    const own = commands
      .filter((command) => command.device === device.id)
      .map(({ seq }) => seq);
    const taken = [...own, ...device.redelivered].sort(
      (one, other) => one - other,
    );
    const gapless =
      taken.every((seq, at) => seq === at + 1) &&
      taken.length === device.last_seq;
    if (!gapless)
      this.breaks(
        3,
        `device ${device.id} at ${device.last_seq} has ${taken.join(" ")}`,
      );
  }
}

/** What every delivery of a command is told alike. */
function lasting(receipt: CommandResult): string {
  return canonical({ ...receipt, status: null, seq: null });
}

function place(cursor: string | null): number {
  if (cursor === null) return -1;
  const { done } = JSON.parse(Buffer.from(cursor, "base64url").toString()) as {
    done: number;
  };
  return done;
}
