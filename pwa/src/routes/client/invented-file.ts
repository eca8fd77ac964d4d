/** The rows of an invented client, judged by the shipped rulebook, for the tests. */
import type { Answers } from "../../domain/findings";
import { bookOf, read } from "../../domain/screening/vectors";
import type { Held } from "../../store";
import { clientFile, type ClientFile, type FileKind, type FileRows } from "./file";
import { pathOf } from "./path";

export const book = bookOf("base");
export const { baselines } = read("rules.json") as {
  baselines: Record<string, { answers: Answers }>;
};
export const well = baselines["well"]?.answers ?? {};
const FOOT = new Set(
  book.groups.flatMap(({ part, questions }) =>
    part === "foot" ? questions.map(({ id }) => id) : [],
  ),
);
export const NOW = { at: new Date("2026-11-25T12:00:00Z"), day: "2026-11-25" };

function part(answers: Answers, foot: boolean): Answers {
  return Object.fromEntries(Object.entries(answers).filter(([id]) => FOOT.has(id) === foot));
}

export function held(id: string, row: object): Held<never> {
  return {
    id,
    scope: null,
    version: 1,
    pending: false,
    row: { client: "c", ...row } as never,
  };
}

export function rows(some: Partial<Record<FileKind, Held<never>[]>>): FileRows {
  const none: Record<FileKind, Held<never>[]> = {
    client: [held("c", { born: "1970-05-01", decides_for_self: true })],
    health_screen: [],
    foot_check: [],
    referral: [],
    clearance: [],
    consent: [],
    consent_choice: [],
    signing_offer: [],
    booking: [held("b", { starts_at: "2026-11-25T13:00:00Z", state: "booked" })],
    visit: [],
    mishap: [],
  };
  return { ...none, ...some };
}

export function screen(id: string, screened_at: string, answers: Answers, more = {}): Held<never> {
  return held(id, { screened_at, answers: part(answers, false), entered_in_error: false, ...more });
}

export function check(id: string, checked_at: string, answers: Answers, more = {}): Held<never> {
  const looked = { checked_at, answers: part(answers, true), findings: [], ...more };
  return held(id, { entered_in_error: false, ...looked });
}

export const consent = held("s", {
  signed_at: "2026-01-02T10:00:00Z",
  withdrawn_at: null,
  signer_role: "client",
});

export function file(some: Partial<Record<FileKind, Held<never>[]>>): ClientFile {
  const made = clientFile(book, rows(some), "c", NOW);
  if (!made) throw new Error("no such client");
  return made;
}

export function states(of: ClientFile): string {
  return pathOf(of)
    .map(({ id, state }) => `${id} ${state}`)
    .join(", ");
}

export const today = {
  health_screen: [screen("h", "2026-11-25T11:00:00Z", well)],
  foot_check: [check("f", "2026-11-25T11:30:00Z", well)],
  consent: [consent],
};
