/**
 * Checks answers and findings before anything is judged by them. The twin is answers.py, which
 * the server runs again; words for these codes are in the message catalogue.
 */
import type { Question } from "./book";
import { FINDING_KINDS } from "./facts";
import { TOUCH_SITES, TOUCH_STATES } from "./touch";

export const DONT_KNOW = "dont_know";
const MAX_AGE = 130;
const MAX_LENGTH_MM = 400;
const MAX_NOTE = 2000;
const EARLIEST_YEAR = 1910;
const TOUCH_ANSWERS = TOUCH_SITES.flatMap((site) =>
  TOUCH_STATES.map((state) => `${site}:${state}`),
);

export type ProblemCode =
  | "unknown_question"
  | "wrong_type"
  | "not_a_choice"
  | "repeated_choice"
  | "out_of_range"
  | "unknown_field"
  | "missing_field";

/** Never holds the value: that is health data. */
export interface Problem {
  field: string;
  code: ProblemCode;
}

export class InvalidAnswers extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map((problem) => `${problem.field}: ${problem.code}`).join("; "));
    this.problems = problems;
  }
}

type Fault = ProblemCode | null;
type Check = (value: unknown) => Fault;

export function checkAnswers(
  questions: ReadonlyMap<string, Question>,
  answers: Readonly<Record<string, unknown>>,
): Problem[] {
  return Object.entries(answers).flatMap(([key, answer]) => {
    const question = questions.get(key);
    if (question === undefined) return report(`answers.${key.slice(0, 60)}`, "unknown_question");
    return report(`answers.${key}`, answer === DONT_KNOW ? null : fault(question, answer));
  });
}

export function checkFindings(findings: readonly unknown[]): Problem[] {
  return findings.flatMap((finding, place) => {
    if (typeof finding !== "object" || finding === null || Array.isArray(finding)) {
      return report(`findings.${place}`, "wrong_type");
    }
    return [
      ...REQUIRED.filter((field) => !Object.hasOwn(finding, field)).flatMap((field) =>
        report(`findings.${place}.${field}`, "missing_field"),
      ),
      ...Object.entries(finding).flatMap(([field, value]) =>
        report(`findings.${place}.${field.slice(0, 60)}`, findingFault(field, value)),
      ),
    ];
  });
}

export function checkAge(age: unknown): Problem[] {
  if (age === null) return [];
  if (!Number.isInteger(age)) return report("age", "wrong_type");
  return report("age", Number(age) >= 0 && Number(age) <= MAX_AGE ? null : "out_of_range");
}

function report(field: string, code: Fault): Problem[] {
  return code === null ? [] : [{ field, code }];
}

function fault(question: Question, answer: unknown): Fault {
  switch (question.kind) {
    case "yes_no":
      return boolean(answer);
    case "choice":
      return oneOf(question.choices)(answer);
    case "choices":
      return list(answer, question.choices, (item) => item);
    case "touch_sites":
      return list(answer, TOUCH_ANSWERS, (item) => item.split(":")[0]);
    case "number":
      return number(answer, question.min, question.max);
    case "date_known":
      return partDate(answer);
  }
}

function list(
  answer: unknown,
  choices: readonly string[],
  subject: (item: string) => string | undefined,
): Fault {
  if (!Array.isArray(answer) || !answer.every((item) => typeof item === "string")) {
    return "wrong_type";
  }
  if (!answer.every((item) => choices.includes(item))) return "not_a_choice";
  return new Set(answer.map(subject)).size === answer.length ? null : "repeated_choice";
}

function number(answer: unknown, least: number | null, most: number | null): Fault {
  if (typeof answer !== "number") return "wrong_type";
  const inside = answer >= (least ?? -Infinity) && answer <= (most ?? Infinity);
  return inside && Math.abs(answer) < 2 ** 53 ? null : "out_of_range";
}

/** People often know the year or the month only. */
function partDate(answer: unknown): Fault {
  const match = typeof answer === "string" && /^(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?$/.exec(answer);
  if (!match) return "wrong_type";
  const [year, month, day] = [Number(match[1]), Number(match[2] ?? 1), Number(match[3] ?? 1)];
  const real =
    month >= 1 && month <= 12 && day >= 1 && day <= new Date(Date.UTC(year, month, 0)).getUTCDate();
  return real && year >= EARLIEST_YEAR ? null : "out_of_range";
}

function oneOf(choices: readonly string[]): Check {
  return (value) => {
    if (typeof value !== "string") return "wrong_type";
    return choices.includes(value) ? null : "not_a_choice";
  };
}

function text(longest: number): Check {
  return (value) => {
    if (typeof value !== "string") return "wrong_type";
    // Counted as the server counts: an emoji is one.
    return Array.from(value).length <= longest ? null : "out_of_range";
  };
}

function boolean(value: unknown): Fault {
  return typeof value === "boolean" ? null : "wrong_type";
}

function name(value: unknown): Fault {
  return typeof value === "string" && /^[a-z][a-z0-9_]{0,59}$/.test(value) ? null : "wrong_type";
}

const REQUIRED: readonly string[] = ["id", "foot", "view", "region", "what"];
const FINDING_FIELDS: ReadonlyMap<string, Check> = new Map<string, Check>([
  ["id", text(60)],
  ["foot", oneOf(["left", "right"])],
  ["view", oneOf(["top", "sole"])],
  ["region", name],
  ["what", oneOf(FINDING_KINDS)],
  ["length_mm", (value) => number(value, 0, MAX_LENGTH_MM)],
  ["depth_mm", (value) => number(value, 0, MAX_LENGTH_MM)],
  ["state", oneOf(["closed", "open"])],
  ["bleeding", boolean],
  ["oozing", boolean],
  ["note", text(MAX_NOTE)],
  ["follows", text(60)],
  ["looked", boolean],
]);

function findingFault(field: string, value: unknown): Fault {
  const check = FINDING_FIELDS.get(field);
  if (check === undefined) return "unknown_field";
  return value === null && !REQUIRED.includes(field) ? null : check(value);
}
