/**
 * Unsent work as a file, for a phone that fails or a browser that clears its storage. All of it is sealed as
 * it is on the phone, so that saving needs no key and the file tells a finder nothing but how much there is.
 */
import type { Id, Instant } from "../wire/types";
import type { SavedWorkApi, WorkCount } from "./api";
import { writeStrictly, type StoredAside } from "./db";
import { Fault } from "./fault";
import type { Phone } from "./phone";
import { asideFrom, asideToText, type TextAside } from "./saved_form";
import { isShown, measure, unsentAside } from "./set_aside";

const FORMAT = "heelwright-unsent-work";
const VERSION = 1;

interface SavedFile {
  format: string;
  version: number;
  saved_at: Instant;
  /** SHA-256 of `work` as JSON without spaces, in hex: tells a damaged file at once. */
  sha256: string;
  work: TextAside[];
}

export interface SavedWorkHooks {
  /** Who is signed in. */
  staff: () => Id | undefined;
  /** What is still on its way to the disk. */
  flush: () => Promise<void>;
  changed: () => Promise<void>;
}

export class SavedWork implements SavedWorkApi {
  readonly #phone: Phone;
  readonly #hooks: SavedWorkHooks;

  constructor(phone: Phone, hooks: SavedWorkHooks) {
    this.#phone = phone;
    this.#hooks = hooks;
  }

  /** What waits here, and what was set aside before. */
  async save(): Promise<{ name: string; file: Blob }> {
    await this.#hooks.flush();
    const saved_at = this.#phone.now().toISOString();
    const work = (await readAll(this.#phone, saved_at)).map(asideToText);
    const content: SavedFile = {
      format: FORMAT,
      version: VERSION,
      saved_at,
      sha256: await digestOf(work),
      work,
    };
    const file = new Blob([JSON.stringify(content)], { type: "application/json" });
    return { name: `unsent-work-${saved_at.slice(0, 10)}.json`, file };
  }

  async takeIn(file: Blob): Promise<WorkCount> {
    const staff = this.#hooks.staff();
    if (staff === undefined) throw new Fault("locked");
    const all = await readFile(file);
    // Whose it is stands beside the copy for the practice; without one it shows when it is opened.
    const work = all.filter(
      ({ wrapped_key: { recovery } }) => (recovery?.staff ?? staff) === staff,
    );
    if (work.length === 0 && all.length > 0) throw new Fault("other_persons_work");
    await writeStrictly(this.#phone.db, ["set_aside"], async (tx) => {
      const here = await tx.objectStore("set_aside").getAll();
      for (const aside of work) {
        if (here.some((other) => holdsTheSame(other, aside))) continue;
        // A file says what it likes: what is here under that id stays, and this is put beside it.
        const known = here.some(({ id }) => id === aside.id);
        const added = known ? { ...aside, id: this.#phone.newId() } : aside;
        here.push(added);
        await tx.objectStore("set_aside").add(added);
      }
    });
    await this.#hooks.changed();
    return measure({
      outbox: work.flatMap(({ outbox }) => outbox),
      refused: work.flatMap(({ refused }) => refused),
      drafts: work.flatMap(({ drafts }) => drafts),
    });
  }
}

/** Whatever they are called. */
function holdsTheSame(one: StoredAside, other: StoredAside): boolean {
  const [text, otherText] = [one, other].map((aside) =>
    JSON.stringify({ ...asideToText(aside), id: "" }),
  );
  return text === otherText;
}

async function readAll(phone: Phone, saved_at: Instant): Promise<StoredAside[]> {
  const stores = ["outbox", "settled", "drafts", "pictures", "set_aside", "meta"] as const;
  const tx = phone.db.transaction([...stores]);
  const waiting = await unsentAside(tx, phone.newId(), saved_at);
  const before = await tx.objectStore("set_aside").getAll();
  const all = waiting === undefined ? before : [waiting, ...before];
  // Pictures stay on the phone: decision 0160.
  return all.map((aside) => ({ ...aside, pictures: [] })).filter(isShown);
}

/** Throws `not_saved_work`, `saved_work_newer` or `saved_work_damaged`. */
async function readFile(file: Blob): Promise<StoredAside[]> {
  const { version, sha256, work } = await readHead(file);
  if (version > VERSION) throw new Fault("saved_work_newer");
  if (!Array.isArray(work) || (await digestOf(work)) !== sha256) {
    throw new Fault("saved_work_damaged");
  }
  try {
    return work.map(asideFrom);
  } catch (cause) {
    throw new Fault("saved_work_damaged", { cause });
  }
}

async function readHead(file: Blob): Promise<SavedFile> {
  let content: Partial<SavedFile> | null;
  try {
    content = JSON.parse(await file.text()) as Partial<SavedFile> | null;
  } catch (cause) {
    const cut = (await file.text()).startsWith(`{"format":"${FORMAT}"`);
    throw new Fault(cut ? "saved_work_damaged" : "not_saved_work", { cause });
  }
  if (content?.format !== FORMAT || typeof content.version !== "number") {
    throw new Fault("not_saved_work");
  }
  return content as SavedFile;
}

async function digestOf(work: readonly unknown[]): Promise<string> {
  const bytes = new TextEncoder().encode(JSON.stringify(work));
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
