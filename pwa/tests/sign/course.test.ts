/**
 * Signing on a client's own phone, whatever breaks on the way: each request may be cut or its answer lost, the page
 * may be reloaded or killed at every step. Check: our own rule; nothing is lost, and nothing is sent in two ways.
 */
import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";

import { shownSha256 } from "../../src/domain/shown";
import { Course, type OwnForm, type Phase } from "../../src/sign/course";
import { Keep } from "../../src/sign/keep";
import { HttpFault } from "../../src/wire/call";
import type { LinkHolder, SigningHttp } from "../../src/wire/signing";
import type { SigningAnswer, SigningSheet } from "../../src/wire/types";

const TEXT = {
  id: "foot_care",
  purpose: "treatment" as const,
  version: 2,
  title: "Care",
  words: "We care.",
};
const PHOTOS = {
  id: "photos",
  purpose: "photos" as const,
  version: 1,
  title: "Photos",
  words: "Some.",
};
const SPANISH = { ...TEXT, title: "Cuidado", words: "Cuidamos." };
const SHEET: SigningSheet = {
  signer_name: "Ada Invented",
  signer_role: "client",
  ground: "",
  authority: "",
  client_first_name: "",
  how: "drawn",
  language: "en",
  languages: ["en", "es"],
  texts: { en: [TEXT, PHOTOS], es: [SPANISH, { ...PHOTOS, title: "Fotos" }] },
  open_until: "2026-11-26T10:00:00Z",
};
const STROKES = [[{ x: 1, y: 2, t: 3 }]];
const AT = new Date("2026-11-26T09:00:00Z");

const TROUBLE = ["fine", "cut", "lost", "busy", "portal", "down"] as const;
type Trouble = (typeof TROUBLE)[number];
class Killed extends Error {}

/** The practice's side, as the interface has it: one phone, one answer. */
class Server {
  phone: string | null = null;
  readonly bodies = new Set<string>();

  open({ phone }: LinkHolder): SigningSheet {
    this.phone ??= phone;
    if (this.phone !== phone) throw new HttpFault("link_taken", 409);
    if (this.bodies.size > 0) throw new HttpFault("link_answered", 409);
    return SHEET;
  }

  counts = true;

  done({ phone }: LinkHolder, answer: SigningAnswer): boolean {
    if (this.phone !== phone) throw new HttpFault("link_taken", 409);
    this.bodies.add(JSON.stringify(answer));
    if (this.bodies.size > 1) throw new HttpFault("link_answered", 409);
    return this.counts;
  }

  get answer(): SigningAnswer {
    return JSON.parse([...this.bodies][0] ?? "null") as SigningAnswer;
  }
}

/** A network that does what it is told to, then works. */
function through(server: Server, troubles: Trouble[]): SigningHttp {
  const meet = async <T>(reach: () => T): Promise<T> => {
    const trouble = troubles.shift() ?? "fine";
    if (trouble === "cut") return fail("no_connection");
    if (trouble === "portal") return fail("not_our_server");
    if (trouble === "busy") return fail("too_many");
    if (trouble === "down") return fail("server_trouble");
    const reply = await Promise.resolve().then(reach);
    return trouble === "lost" ? fail("no_connection") : reply;
  };
  return {
    open: (as) => meet(() => server.open(as)),
    done: (as, answer) => meet(() => server.done(as, answer)),
  };
}

function fail(code: string): never {
  throw new HttpFault(code, 0);
}

/** Counts the steps at which the page may die: around each write, and while it waits. */
class Life {
  readonly #deaths: Set<number>;
  #steps = 0;

  constructor(deaths: readonly number[]) {
    this.#deaths = new Set(deaths);
  }

  step(): void {
    this.#steps += 1;
    if (this.#deaths.has(this.#steps)) throw new Killed();
  }
}

class MortalKeep extends Keep {
  readonly #life: Life;

  constructor(link: string, life: Life) {
    super(link, () => AT.getTime());
    this.#life = life;
  }

  override async write(...args: Parameters<Keep["write"]>): Promise<void> {
    this.#life.step();
    await super.write(...args);
    this.#life.step();
  }

  override async once(...args: Parameters<Keep["once"]>): Promise<unknown> {
    this.#life.step();
    const stands = await super.once(...args);
    this.#life.step();
    return stands;
  }
}

let links = 0;
let phones = 0;

class Person {
  readonly server = new Server();
  readonly link = `link-${String((links += 1))}`;
  readonly #http: SigningHttp;
  readonly #life: Life;
  /** How often they have answered, and which of their answers the page has said to be kept. */
  attempts = 0;
  promised: string | null = null;
  seen: Phase[] = [];

  constructor(troubles: Trouble[], deaths: readonly number[]) {
    this.#http = through(this.server, [...troubles]);
    this.#life = new Life(deaths);
  }

  /** Opens the link, and again after each death, until it is over. */
  async goThrough(): Promise<Phase> {
    for (;;) {
      try {
        return await this.#openOnce();
      } catch (error) {
        if (!(error instanceof Killed)) throw error;
      }
    }
  }

  async #openOnce(): Promise<Phase> {
    let phase: Phase = { at: "opening", wait: null, tries: 0 };
    const course = new Course({
      token: "t",
      keep: new MortalKeep(this.link, this.#life),
      http: this.#http,
      pace: {
        wait: () => {
          this.#life.step();
          return Promise.resolve();
        },
      },
      newPhone: () => `phone-${String((phones += 1))}`,
      now: () => AT,
      show: (next) => {
        phase = next;
        this.seen.push(next);
        if (next.at === "sending" && next.kept) this.promised ??= String(this.attempts);
      },
    });
    await course.begin();
    const shown = phase as Phase;
    if (shown.at !== "asking") return shown;
    this.attempts += 1;
    const answers = { treatment: true, photos: false };
    const form: OwnForm = { ...shown.form, answers, said: String(this.attempts), begun: true };
    await course.save(form);
    await course.finish(shown.sheet, form, { strokes: STROKES, signed: true });
    return phase;
  }
}

async function left(link: string): Promise<unknown[]> {
  const keep = new Keep(link, () => AT.getTime());
  return Promise.all((["phone", "sheet", "form", "done"] as const).map((part) => keep.read(part)));
}

describe("a client's answer", () => {
  it("comes in once and as it was given, in whatever order things break", async () => {
    const troubles = fc.array(fc.constantFrom(...TROUBLE), { maxLength: 8 });
    const deaths = fc.uniqueArray(fc.integer({ min: 1, max: 24 }), { maxLength: 6 });
    await fc.assert(
      fc.asyncProperty(troubles, deaths, async (breaks, dies) => {
        const person = new Person(breaks, dies);
        const last = await person.goThrough();
        expect(person.server.bodies.size).toBe(1);
        // Killed after the answer came in and before it was told: then the link says that it is answered.
        expect(["done", "ended"]).toContain(last.at);
        if (last.at === "ended") expect(last.end).toBe("answered");
        const { said, answers, signed } = person.server.answer;
        if (person.promised !== null) expect(said).toBe(person.promised);
        expect(signed).toBe(true);
        expect(answers).toEqual([
          { text_id: "foot_care", agreed: true },
          { text_id: "photos", agreed: false },
        ]);
        expect(await left(person.link)).toEqual([null, null, null, null]);
      }),
      { numRuns: 150 },
    );
  });

  it("goes on after a reload where it was", async () => {
    const keep = new Keep("reloaded", () => AT.getTime());
    const form = { ...blankForm(), answers: { treatment: true }, begun: true, language: "es" };
    await keep.once("phone", "mine");
    await keep.write("sheet", SHEET);
    await keep.write("form", form);
    const seen: Phase[] = [];
    await courseOn("reloaded", through(new Server(), ["cut"]), seen).begin();
    expect(seen.at(-1)).toEqual({ at: "asking", sheet: SHEET, form, kept: true });
  });

  it("comes in after the clock of the phone was put right, and the page loaded again", async () => {
    const server = new Server();
    const slow = new Date(AT.getTime() - 16 * 24 * 3600 * 1000);
    const cut = through(server, ["fine", "cut"]);
    const before: Phase[] = [];
    const after: Phase[] = [];
    const course = courseOn("slow clock", cut, before, { at: slow, wait: killed });
    await course.begin();
    const finished = course.finish(SHEET, blankForm(), { strokes: [], signed: false });
    await expect(finished).rejects.toThrow(Killed);
    expect(before.at(-1)).toEqual({ at: "sending", wait: "no_line", kept: true });
    await courseOn("slow clock", through(server, []), after, { phone: "another" }).begin();
    expect(after.at(-1)).toEqual({ at: "done" });
    expect(server.answer.decided_at).toBe(slow.toISOString());
  });

  it("is said from the first not to outlive the page, where the browser keeps nothing", async () => {
    vi.spyOn(indexedDB, "open").mockImplementation(() => {
      throw new DOMException("full", "QuotaExceededError");
    });
    const seen: Phase[] = [];
    const course = courseOn("full", through(new Server(), []), seen);
    await course.begin();
    expect(seen.at(-1)).toMatchObject({ at: "asking", kept: false });
    expect(await course.save(blankForm())).toBe(false);
    vi.restoreAllMocks();
  });

  it("ends where the server does not take it, and is told so", async () => {
    const server = new Server();
    const seen: Phase[] = [];
    const course = courseOn("refused", through(server, []), seen, { wait: killed });
    await course.begin();
    server.done = () => {
      throw new HttpFault("too_large", 413);
    };
    await course.finish(SHEET, blankForm(), { strokes: STROKES, signed: true });
    expect(seen.at(-1)).toEqual({ at: "ended", end: "refused", sent: true });
    expect(await left("refused")).toEqual([null, null, null, null]);
  });

  it("says that a yes came too late where the server keeps it and it holds for nothing", async () => {
    const server = new Server();
    server.counts = false;
    const seen: Phase[] = [];
    const course = courseOn("void", through(server, []), seen);
    await course.begin();
    await course.finish(SHEET, blankForm(), { strokes: STROKES, signed: true });
    expect(seen.at(-1)).toEqual({ at: "ended", end: "over", sent: true });
    expect(await left("void")).toEqual([null, null, null, null]);
  });

  it("says that it waits, and why", async () => {
    const person = new Person(["cut", "busy", "fine", "portal"], []);
    expect((await person.goThrough()).at).toBe("done");
    const waits = person.seen.flatMap((phase) => ("wait" in phase ? [phase.wait] : []));
    expect(waits).toEqual([null, "no_line", "trouble", null, "no_line"]);
  });

  it("is not given where another phone has the link", async () => {
    const person = new Person(["cut"], []);
    person.server.phone = "another";
    expect(await person.goThrough()).toEqual({ at: "ended", end: "taken", sent: false });
    expect(await left(person.link)).toEqual([null, null, null, null]);
  });
});

describe("what was shown", () => {
  it("has the texts of the language that was chosen, with the answers, in their order", async () => {
    const server = new Server();
    const course = courseOn("spanish", through(server, []), []);
    await course.begin();
    const form: OwnForm = { ...blankForm(), language: "es", answers: { photos: true } };
    await course.finish(SHEET, form, { strokes: STROKES, signed: true });
    const texts = (SHEET.texts["es"] ?? []).map((text, place) => ({
      ...text,
      agreed: place === 1,
    }));
    const signer = {
      signer_name: "Ada Invented",
      signer_role: "client",
      ground: "",
      authority: "",
    };
    const shown = { language: "es", presented: "read_self", ...signer, texts };
    expect(server.answer.shown_sha256).toBe(await shownSha256(shown));
  });

  it("is a no to everything, without a signature, where nobody wants to sign", async () => {
    const server = new Server();
    const course = courseOn("unwilling", through(server, []), []);
    await course.begin();
    const form: OwnForm = { ...blankForm(), answers: { treatment: true }, said: " No. " };
    await course.finish(SHEET, form, { strokes: STROKES, signed: false });
    const { answers, strokes, signed, said } = server.answer;
    expect(answers.some(({ agreed }) => agreed)).toBe(false);
    expect({ strokes, signed, said }).toEqual({ strokes: [], signed: false, said: "No." });
  });
});

function blankForm(): OwnForm {
  const { language, signer_name, how } = SHEET;
  const nothing = { answers: {}, said: "", presented: "read_self", begun: false } as const;
  return { language, signer_name, how, ...nothing };
}

const killed = () => Promise.reject(new Killed());

interface Around {
  at?: Date;
  phone?: string;
  wait?: () => Promise<void>;
}

function courseOn(link: string, http: SigningHttp, seen: Phase[], around: Around = {}): Course {
  const { at = AT, phone = "mine", wait = () => Promise.resolve() } = around;
  return new Course({
    token: "t",
    keep: new Keep(link, () => at.getTime()),
    http,
    pace: { wait },
    newPhone: () => phone,
    now: () => at,
    show: (phase) => seen.push(phase),
  });
}
