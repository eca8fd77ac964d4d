"""Judges answers and findings by a book: three-valued, so an unanswered question is never "no".

Answers for the outcome, what is still open and what to ask for it, and the limits that bind.
Does not decide whether a visit may start: consent, clearances and referrals stand elsewhere.
The twin is judge.ts; the shape of a judgement as JSON is the same.
"""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from heelwright.rulebook.answers import DONT_KNOW
from heelwright.rulebook.compiled import Asked, Compiled
from heelwright.rulebook.expansion import UNSURE
from heelwright.rulebook.expressions import Expression, Value
from heelwright.rulebook.facts import derive
from heelwright.rulebook.limits import MergedLimits, merge
from heelwright.rulebook.schema import (
    OUTCOMES,
    REFER_TO,
    WITHIN,
    Outcome,
    ReferTo,
    Rule,
    Within,
)

HOLDS_FROM = OUTCOMES.index("needs_clearance")
REFERS_FROM = OUTCOMES.index("refer_first")


@dataclass(frozen=True)
class FiredRule:
    id: str
    outcome: Outcome
    refer_to: ReferTo | None
    within: Within | None
    limits: tuple[str, ...]


@dataclass(frozen=True)
class OpenRule:
    id: str
    outcome: Outcome
    missing: tuple[str, ...]


@dataclass(frozen=True)
class Referral:
    """Whose word is asked for and how soon: by the rules that refer the client on or, where there
    are none, by those that ask for a clearance."""

    level: Outcome
    refer_to: ReferTo
    within: Within


@dataclass(frozen=True)
class Judgement:
    """`shown` are the questions that apply; `to_ask` those whose answer is still wanted.

    `to_ask` may also hold `findings` and `age`, where those leave a fact unknown.
    """

    outcome: Outcome
    complete: bool
    held: bool
    fired: tuple[FiredRule, ...]
    open: tuple[OpenRule, ...]
    to_ask: tuple[str, ...]
    shown: tuple[str, ...]
    limits: MergedLimits
    referral: Referral | None
    aftercare: tuple[str, ...]
    weeks_until_next: int | None

    def as_json(self) -> dict[str, Any]:
        """As JSON would hold it: lists, not tuples."""
        plain: dict[str, Any] = json.loads(json.dumps(self, default=vars))
        return plain


class Sitting:
    """One set of answers in front of one book."""

    def __init__(
        self,
        book: Compiled,
        answers: Mapping[str, Any],
        findings: Sequence[Mapping[str, Any]],
        age: int | None,
    ) -> None:
        self.book, self.answers = book, answers
        facts = derive(answers, findings, age, book.settings)
        self.bindings: dict[str, Value] = {
            key: value for key, value in facts.items() if key in book.sources
        } | dict(_bound(book, answers))
        plain = book.compiler.activation(self.bindings)
        # Many questions are asked on the same terms.
        terms = {asked.applies.source: asked.applies for asked in book.asked.values()}
        applies = {source: expression.evaluate(plain) for source, expression in terms.items()}
        self.applies = {key: applies[asked.applies.source] for key, asked in book.asked.items()}
        self.bindings |= dict(self._unsure())
        self._activation = book.compiler.activation(self.bindings)
        # Many open rules lack the same names.
        self._empty: dict[str, list[str]] = {}
        self._before: dict[str, list[str]] = {}

    def value(self, expression: Expression) -> bool | None:
        return expression.evaluate(self._activation)

    def missing(self, expression: Expression) -> tuple[str, ...]:
        unbound = (name for name in expression.names if name not in self.bindings)
        return tuple(dict.fromkeys(name.removeprefix(UNSURE) for name in unbound))

    def _unsure(self) -> Iterator[tuple[str, bool]]:
        """A question that is still to be answered may yet be answered "don't know"."""
        for key in self.book.asked:
            if key in self.answers or self.applies[key] is False:
                yield UNSURE + key, self.answers.get(key) == DONT_KNOW

    def wanted(self, missing: Iterable[str]) -> list[str]:
        """The questions to put for these names; those that do not apply only if no other is."""
        unanswered = _once(self._unanswered(name) for name in missing)
        applying = [key for key in unanswered if self.applies.get(key) is not False]
        return _once(self._in_reach(key) for key in applying or unanswered)

    def _unanswered(self, name: str) -> list[str]:
        if name not in self._empty:
            sources = self.book.sources.get(name, (name,))
            empty = [key for key in sources if key in self.book.asked and key not in self.answers]
            # All is answered and the fact is still unknown: look again at what it rests on last.
            again = [] if self.answers.get(sources[-1]) == DONT_KNOW else [sources[-1]]
            is_fact = name in self.book.sources
            self._empty[name] = empty or (again if is_fact else [])
        return self._empty[name]

    def _in_reach(self, key: str) -> list[str]:
        """Before a question that may not apply, the questions that decide whether it does."""
        if key not in self._before:
            asked = self.book.asked.get(key)
            first = (
                self.wanted(self.missing(asked.applies))
                if asked is not None and self.applies[key] is None
                else []
            )
            self._before[key] = first or [key]
        return self._before[key]


def _once(lists: Iterable[Iterable[str]]) -> list[str]:
    return list(dict.fromkeys(name for names in lists for name in names))


def judge(
    book: Compiled,
    answers: Mapping[str, Any],
    findings: Sequence[Mapping[str, Any]],
    age: int | None,
) -> Judgement:
    """Answers and findings must have been checked."""
    sitting = Sitting(book, answers, findings, age)
    fired, still_open = _sorted_out(sitting)
    unmet = [key for key, asked in book.asked.items() if _unmet(sitting, key, asked)]
    missing = [*(rule.missing for rule in still_open), *((key,) for key in unmet)]
    holding = any(OUTCOMES.index(rule.outcome) >= HOLDS_FROM for rule in still_open)
    weeks = (interval.weeks for interval, when in book.intervals if sitting.value(when))
    return Judgement(
        outcome=fired[0].outcome if fired else "go",
        complete=not missing,
        held=holding or bool(unmet),
        fired=fired,
        open=still_open,
        to_ask=tuple(_once(sitting.wanted(names) for names in missing)),
        shown=tuple(key for key, asked in book.asked.items() if _shown(sitting, key, asked)),
        limits=binding(book, {*(rule.id for rule in fired), *(rule.id for rule in still_open)}),
        referral=referral_of(fired),
        aftercare=tuple(a.id for a, when in book.aftercare if sitting.value(when) is not False),
        weeks_until_next=min(weeks, default=None),
    )


def _sorted_out(sitting: Sitting) -> tuple[tuple[FiredRule, ...], tuple[OpenRule, ...]]:
    """The rules that are true and those still open, the highest outcome first."""
    fired, still_open = [], []
    for rule, expression in sitting.book.strictest_first:
        value = sitting.value(expression)
        if value:
            fired.append(fired_by(rule))
        elif value is None:
            still_open.append(OpenRule(rule.id, rule.outcome, sitting.missing(expression)))
    return tuple(fired), tuple(still_open)


def fired_by(rule: Rule) -> FiredRule:
    return FiredRule(rule.id, rule.outcome, rule.refer_to, rule.within, tuple(rule.limits))


def binding(book: Compiled, rules: Collection[str]) -> MergedLimits:
    """An open rule binds too: a question left out must not widen what is allowed."""
    named = {key for rule, _ in book.strictest_first if rule.id in rules for key in rule.limits}
    return merge(limit for key, limit in book.limits.items() if key in named)


def _bound(book: Compiled, answers: Mapping[str, Any]) -> Iterator[tuple[str, Value]]:
    for key, answer in answers.items():
        kind = book.asked[key].question.kind
        if answer != DONT_KNOW and kind != "date_known":
            # 3 and 3.0 are one number on the phone.
            yield key, float(answer) if kind == "number" else answer


def _shown(sitting: Sitting, key: str, asked: Asked) -> bool:
    applies = sitting.applies[key]
    return applies is True or (applies is None and asked.must)


def _unmet(sitting: Sitting, key: str, asked: Asked) -> bool:
    return asked.must and key not in sitting.answers and sitting.applies[key] is not False


def referral_of(fired: Sequence[FiredRule]) -> Referral | None:
    level = fired[0].outcome if fired else "go"
    if level in ("go", "go_with_limits"):
        return None
    at_level = [rule for rule in fired if rule.outcome == level]
    referring = [rule for rule in fired if OUTCOMES.index(rule.outcome) >= REFERS_FROM] or at_level
    # A rule of a practice that asks for a clearance may not say of whom.
    return Referral(
        level=level,
        refer_to=max((r.refer_to or "gp" for r in at_level), key=REFER_TO.index),
        within=max((r.within or "weeks" for r in referring), key=WITHIN.index),
    )
