/**
 * Joins judgements of one client into the one that binds: the worse of each part. Two people may ask the same
 * client without knowing of each other; then what either found counts. The twin is joining.py.
 */
import { holds, weight } from "../findings";
import type { BookJson } from "./book";
import { type Compiled, compiled } from "./compiled";
import { binding, firedBy, type FiredRule, type Judgement, type OpenRule, referral } from "./judge";
import { unique } from "./sitting";

/**
 * `several` are judgements by this book. `askedBefore` are rules by which earlier records asked for a clearance:
 * those stay asked, unless a later look may settle them.
 */
export function join(
  book: BookJson,
  several: readonly [Judgement, ...Judgement[]],
  askedBefore: readonly string[] = [],
): Judgement {
  const known = compiled(book);
  const said = several.flatMap((one) => one.fired);
  const fired = inOrder(known, [...stillAsked(known, askedBefore), ...said]);
  const open = stillOpen(known, several, fired);
  const weeks = several.map((one) => one.weeks_until_next).filter((each) => each !== null);
  return {
    outcome: fired[0]?.outcome ?? "go",
    complete: several.every(({ complete }) => complete),
    held: several.some(({ held }) => held),
    fired,
    open,
    to_ask: unique(several.flatMap(({ to_ask }) => to_ask)),
    shown: named(
      [...known.asked.keys()],
      several.flatMap(({ shown }) => shown),
    ),
    limits: binding(known, new Set([...fired, ...open].map(({ id }) => id))),
    referral: referral(fired),
    aftercare: named(
      known.aftercare.map(({ id }) => id),
      several.flatMap(({ aftercare }) => aftercare),
    ),
    weeks_until_next: weeks.length === 0 ? null : Math.min(...weeks),
  };
}

/** A rule that refers on by now asked for a clearance then, and for nothing less. */
function stillAsked(book: Compiled, askedBefore: readonly string[]): FiredRule[] {
  return book.rules
    .map(({ rule }) => rule)
    .filter(({ outcome, settled_later }) => holds(outcome) && settled_later !== true)
    .filter(({ id }) => askedBefore.includes(id))
    .map((rule) => ({ ...firedBy(rule), outcome: "needs_clearance" }));
}

/** Of one that comes twice, the last. */
function inOrder(book: Compiled, fired: readonly FiredRule[]): FiredRule[] {
  const byId = new Map(fired.map((rule) => [rule.id, rule]));
  return strictestFirst(book)
    .flatMap((id) => byId.get(id) ?? [])
    .toSorted((one, other) => weight(other.outcome) - weight(one.outcome));
}

/** What is open in one and fired in another is known well enough. */
function stillOpen(
  book: Compiled,
  several: readonly Judgement[],
  fired: readonly FiredRule[],
): OpenRule[] {
  const rules = several
    .flatMap(({ open }) => open)
    .filter((one) => !fired.some(({ id, outcome }) => id === one.id && outcome === one.outcome));
  return strictestFirst(book).flatMap((id) => {
    const [rule, ...more] = rules.filter((each) => each.id === id);
    if (rule === undefined) return [];
    return { ...rule, missing: unique([rule, ...more].flatMap(({ missing }) => missing)) };
  });
}

/** The order of a judgement's rules. */
function strictestFirst(book: Compiled): string[] {
  return book.rules
    .toSorted((one, other) => weight(other.rule.outcome) - weight(one.rule.outcome))
    .map(({ rule }) => rule.id);
}

function named(order: readonly string[], names: readonly string[]): string[] {
  return order.filter((name) => names.includes(name));
}
