/**
 * Compiles and evaluates the book's expressions, three-valued.
 *
 * What an expression may hold was checked by the server when it loaded the book; here the types
 * are checked once more, so that a book this app cannot judge by is refused and not misread.
 */
import { Environment, EvaluationError } from "@marcbachmann/cel-js";

import type { BookJson, QuestionKind } from "./book";

export type Value = boolean | bigint | number | string | string[];
/** Without a prototype: a question might be called "constructor". */
export type Bindings = Record<string, Value>;

/** Written before a question's id: whether it was answered "don't know". */
export const UNSURE = "unsure_";

const TYPES = {
  yes_no: "bool",
  bool: "bool",
  int: "int",
  number: "double",
  choice: "string",
  choices: "list<string>",
  touch_sites: "list<string>",
} as const satisfies Record<Exclude<QuestionKind, "date_known"> | "bool" | "int", string>;

export interface Expression {
  names: readonly string[];
  /** Null when the value hangs on a name that is not bound. */
  evaluate: (bindings: Bindings) => boolean | null;
}

export class UnusableBook extends Error {}

export function compiler(book: BookJson): (source: string) => Expression {
  const environment = new Environment({
    unlistedVariablesAreDyn: false,
    homogeneousAggregateLiterals: false,
  });
  for (const question of book.groups.flatMap((group) => group.questions)) {
    if (question.kind !== "date_known") {
      environment.registerVariable(question.id, TYPES[question.kind]);
    }
    environment.registerVariable(UNSURE + question.id, "bool");
  }
  for (const fact of book.facts) environment.registerVariable(fact.id, TYPES[fact.type]);
  return (source) => compile(environment, source);
}

function compile(environment: Environment, source: string): Expression {
  const program = environment.parse(source);
  const checked = program.check();
  if (!checked.valid || checked.type !== "bool") throw new UnusableBook(source);
  return {
    names: namesIn(source),
    evaluate(bindings) {
      const frames = Error.stackTraceLimit;
      // Each unbound name is an error, and to collect its stack takes most of a judgement's time.
      Error.stackTraceLimit = 0;
      try {
        return program(bindings) === true;
      } catch (error) {
        if (error instanceof EvaluationError && error.code === "unknown_variable") return null;
        // The library's text may quote the value, which is health data.
        throw new TypeError(`cannot be evaluated with data of these types: ${source}`);
      } finally {
        Error.stackTraceLimit = frames;
      }
    },
  };
}

function namesIn(source: string): string[] {
  const words = source.replaceAll(/'[^']*'/g, "").match(/[a-z][a-z0-9_]+/g) ?? [];
  return [...new Set(words)].filter((word) => !["in", "true", "false"].includes(word));
}
