/** A book's expressions, compiled once for each book that is loaded. */
import type { BookJson, Limit, Question, Rule } from "./book";
import { compiler, type Expression } from "./expressions";

export interface Asked {
  question: Question;
  must: boolean;
  applies: Expression;
}

export interface Compiled {
  settings: BookJson["settings"];
  asked: ReadonlyMap<string, Asked>;
  /** What makes questions apply: each expression once, though many questions share it. */
  terms: readonly Expression[];
  questions: ReadonlyMap<string, Question>;
  /** Fact to what it is worked out from. */
  sources: ReadonlyMap<string, readonly string[]>;
  limits: ReadonlyMap<string, Limit>;
  rules: readonly { rule: Rule; when: Expression }[];
  aftercare: readonly { id: string; when: Expression }[];
  intervals: readonly { weeks: number; when: Expression }[];
}

const compiledBooks = new WeakMap<BookJson, Compiled>();

export function compiled(book: BookJson): Compiled {
  const known = compiledBooks.get(book) ?? compileBook(book);
  compiledBooks.set(book, known);
  return known;
}

function compileBook(book: BookJson): Compiled {
  const compile = once(compiler(book));
  const asked = book.groups.flatMap((group) =>
    group.questions.map((question): [string, Asked] => [
      question.id,
      { question, must: group.must, applies: compile(joined(group.ask_when, question.ask_when)) },
    ]),
  );
  return {
    settings: book.settings,
    asked: new Map(asked),
    terms: [...new Set(asked.map(([, { applies }]) => applies))],
    questions: new Map(asked.map(([id, { question }]) => [id, question])),
    sources: new Map(book.facts.map((fact) => [fact.id, fact.from])),
    limits: new Map(book.limits.map((limit) => [limit.id, limit])),
    rules: book.rules.map((rule) => ({ rule, when: compile(rule.when) })),
    aftercare: book.aftercare.map(({ id, when }) => ({ id, when: compile(when ?? "true") })),
    intervals: book.intervals.map(({ weeks, when }) => ({ weeks, when: compile(when) })),
  };
}

/** The same text is the same expression. */
function once(compile: (source: string) => Expression): (source: string) => Expression {
  const known = new Map<string, Expression>();
  return (source) => {
    const expression = known.get(source) ?? compile(source);
    known.set(source, expression);
    return expression;
  };
}

/** A question applies when its group does and it does itself. */
function joined(group: string | null, question: string | null): string {
  if (group !== null && question !== null) return `(${group}) && (${question})`;
  return group ?? question ?? "true";
}
