"""Answers every question that the rulebook puts, as a client of the scenario would."""

from collections.abc import Mapping, Sequence
from typing import Any

from heelwright.rulebook import DONT_KNOW, Book
from heelwright.rulebook.schema import Question
from heelwright.rulebook.touch import ABSENT, FEET, TOUCH_SITES
from heelwright.settings.demonstration.scenario import Answer, Answers

Findings = Sequence[Mapping[str, Any]]


def answer_all(
    book: Book, told: Answers, not_felt: Sequence[str], findings: Findings, age: int
) -> tuple[Answers, Answers]:
    """Health answers and foot answers, to exactly the questions that apply. `told` comes first; a
    question that it leaves out gets its first choice, or "no"."""
    asked = {q.id: (group.part, q) for group in book.content.groups for q in group.questions}
    given: Answers = {}
    while True:
        shown = book.judge(given, findings, age).shown
        missing = [key for key in shown if key not in given]
        given = {key: given[key] for key in shown if key in given}
        if not missing:
            break
        given |= {key: _answer(asked[key][1], told, not_felt) for key in missing}
    health = {key: value for key, value in given.items() if asked[key][0] == "health"}
    return health, {key: value for key, value in given.items() if key not in health}


def _answer(question: Question, told: Answers, not_felt: Sequence[str]) -> Answer:
    if question.id in told:
        return told[question.id]
    if question.kind == "touch_sites":
        return _touched(told, not_felt)
    by_kind: dict[str, Answer] = {
        "yes_no": False,
        "choice": question.choices[0] if question.choices else DONT_KNOW,
        "choices": [],
        "number": question.min or 0,
    }
    return by_kind.get(question.kind, DONT_KNOW)


def _touched(told: Answers, not_felt: Sequence[str]) -> list[str]:
    """Every toe that is there: felt, or not."""
    present = [foot for foot in FEET if told.get(f"{foot}_foot_seen") not in ABSENT]
    sites = [site for site in TOUCH_SITES if site.startswith(tuple(present))]
    return [f"{site}:{'not_felt' if site in not_felt else 'felt'}" for site in sites]
