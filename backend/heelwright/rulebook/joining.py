"""Joins judgements of one client into the one that binds: the worse of each part.

Two people may ask the same client without knowing of each other; then what either found counts.
The joined one is never milder than one of its parts. The twin is join.ts.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace

from heelwright.rulebook.compiled import Compiled
from heelwright.rulebook.judge import (
    HOLDS_FROM,
    FiredRule,
    Judgement,
    OpenRule,
    binding,
    fired_by,
    referral_of,
)
from heelwright.rulebook.schema import OUTCOMES


def join(
    book: Compiled, several: Sequence[Judgement], asked_before: Collection[str] = ()
) -> Judgement:
    """`several` is at least one judgement by this book. `asked_before` are rules by which earlier
    records asked for a clearance: those stay asked, unless a later look may settle them."""
    fired = _fired(
        book, [*_still_asked(book, asked_before), *(rule for j in several for rule in j.fired)]
    )
    still_open = _open(book, several, {(rule.id, rule.outcome) for rule in fired})
    known = {*(rule.id for rule in fired), *(rule.id for rule in still_open)}
    weeks = (j.weeks_until_next for j in several if j.weeks_until_next is not None)
    return Judgement(
        outcome=fired[0].outcome if fired else "go",
        complete=all(j.complete for j in several),
        held=any(j.held for j in several),
        fired=fired,
        open=still_open,
        to_ask=_once(j.to_ask for j in several),
        shown=_in_order(book.asked, (j.shown for j in several)),
        limits=binding(book, known),
        referral=referral_of(fired),
        aftercare=_in_order((a.id for a, _ in book.aftercare), (j.aftercare for j in several)),
        weeks_until_next=min(weeks, default=None),
    )


def _still_asked(book: Compiled, asked_before: Collection[str]) -> Iterator[FiredRule]:
    """A rule that refers on by now asked for a clearance then, and for nothing less."""
    for rule, _ in book.strictest_first:
        asks = OUTCOMES.index(rule.outcome) >= HOLDS_FROM and not rule.settled_later
        if asks and rule.id in asked_before:
            yield replace(fired_by(rule), outcome="needs_clearance")


def _fired(book: Compiled, rules: Iterable[FiredRule]) -> tuple[FiredRule, ...]:
    """Of one that comes twice, the last."""
    by_id = {rule.id: rule for rule in rules}
    known = (by_id[rule.id] for rule, _ in book.strictest_first if rule.id in by_id)
    return tuple(sorted(known, key=lambda rule: -OUTCOMES.index(rule.outcome)))


def _open(
    book: Compiled, several: Sequence[Judgement], fired: Collection[tuple[str, str]]
) -> tuple[OpenRule, ...]:
    """What is open in one and fired in another is known well enough."""
    rules = [rule for j in several for rule in j.open if (rule.id, rule.outcome) not in fired]
    open_ids = {rule.id for rule in rules}
    return tuple(
        OpenRule(rule.id, rule.outcome, _once(each.missing for each in rules if each.id == rule.id))
        for rule, _ in book.strictest_first
        if rule.id in open_ids
    )


def _once(lists: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for names in lists for name in names))


def _in_order(order: Iterable[str], lists: Iterable[Iterable[str]]) -> tuple[str, ...]:
    named = set(_once(lists))
    return tuple(name for name in order if name in named)
