/** One set of answers in front of one book: what is bound, what applies, what is missing. */
import type { Answer, Answers } from "../findings";
import { DONT_KNOW } from "./answers";
import type { Compiled } from "./compiled";
import { type Bindings, type Expression, UNSURE } from "./expressions";
import { derive, type FoundSoFar } from "./facts";

export class Sitting {
  readonly answers: ReadonlyMap<string, Answer>;
  readonly applies: ReadonlyMap<string, boolean | null>;
  readonly #book: Compiled;
  readonly #bindings = Object.create(null) as Bindings;
  // Many open rules lack the same names.
  readonly #empty = new Map<string, string[]>();
  readonly #before = new Map<string, string[]>();

  constructor(
    book: Compiled,
    answers: Answers,
    findings: readonly FoundSoFar[],
    age: number | null,
  ) {
    this.#book = book;
    this.answers = new Map(Object.entries(answers));
    for (const [fact, value] of derive(this.answers, findings, age, book.settings)) {
      if (book.sources.has(fact)) this.#bindings[fact] = value;
    }
    for (const [key, answer] of this.answers) {
      const kind = book.questions.get(key)?.kind;
      if (answer !== DONT_KNOW && kind !== "date_known") this.#bindings[key] = answer;
    }
    const applies = new Map(book.terms.map((terms) => [terms, this.value(terms)]));
    this.applies = new Map(
      [...book.asked].map(([key, asked]) => [key, applies.get(asked.applies) ?? null] as const),
    );
    this.#bindUnsure();
  }

  value(expression: Expression): boolean | null {
    return expression.evaluate(this.#bindings);
  }

  missing(expression: Expression): string[] {
    const unbound = expression.names.filter((name) => !(name in this.#bindings));
    return unique(
      unbound.map((name) => (name.startsWith(UNSURE) ? name.slice(UNSURE.length) : name)),
    );
  }

  /** The questions to put for these names; those that do not apply only if no other is. */
  wanted(missing: readonly string[]): string[] {
    const unanswered = unique(missing.flatMap((name) => this.#unanswered(name)));
    const applying = unanswered.filter((key) => this.applies.get(key) !== false);
    const put = applying.length > 0 ? applying : unanswered;
    return unique(put.flatMap((key) => this.#inReach(key)));
  }

  /** A question that is still to be answered may yet be answered "don't know". */
  #bindUnsure(): void {
    for (const key of this.#book.asked.keys()) {
      if (this.answers.has(key) || this.applies.get(key) === false) {
        this.#bindings[UNSURE + key] = this.answers.get(key) === DONT_KNOW;
      }
    }
  }

  #unanswered(name: string): string[] {
    return remembered(this.#empty, name, () => {
      const sources = this.#book.sources.get(name);
      const empty = (sources ?? [name]).filter(
        (key) => this.#book.asked.has(key) && !this.answers.has(key),
      );
      const last = sources?.at(-1);
      if (empty.length > 0 || last === undefined) return empty;
      // All is answered and the fact is still unknown: look again at what it rests on last.
      return this.answers.get(last) === DONT_KNOW ? [] : [last];
    });
  }

  /** Before a question that may not apply, the questions that decide whether it does. */
  #inReach(key: string): string[] {
    return remembered(this.#before, key, () => {
      const asked = this.#book.asked.get(key);
      if (asked === undefined || this.applies.get(key) !== null) return [key];
      const first = this.wanted(this.missing(asked.applies));
      return first.length > 0 ? first : [key];
    });
  }
}

function remembered(known: Map<string, string[]>, key: string, find: () => string[]): string[] {
  const found = known.get(key) ?? find();
  known.set(key, found);
  return found;
}

export function unique<T>(items: readonly T[]): T[] {
  return [...new Set(items)];
}
