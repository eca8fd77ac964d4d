"""Which leg or foot: told to a clinician, and judged by no rule. Our own rule, no source."""

import json
from typing import Any

import pytest

from heelwright.rulebook import DONT_KNOW, Book, book_for
from tests.parity.vectors import Case, book_of, rule_cases

BOOK = book_of("base")
SIDES = {
    question.id: question.side_of
    for group in BOOK.content.groups
    for question in group.questions
    if question.side_of
}
# The signs about one leg or foot that stop the work and need have no mark on the map.
ONE_SIDED = {
    "sudden_cold_leg": True,
    "calf_sore": True,
    "foot_injury": True,
    "rest_pain": True,
    "leg_swelling": "one_leg",
    "ulcer_healed": False,
    "black_tissue": True,
    "spreading_infection": True,
    "hot_swollen_foot": True,
    "pale_cold_foot": True,
    "calf_one_sided": True,
    "swelling_seen": "one_foot",
}
WELL = next(case for case in rule_cases() if case.name == "every_client fires")
CASES = {f"{n} {case.name}": case for n, case in enumerate(rule_cases())}


def judged(case: Case, answers: Any, book: Book = BOOK) -> dict[str, Any]:
    """All of a judgement but which questions apply."""
    return book.judge(answers, case.findings, case.age).as_json() | {"shown": []}


@pytest.mark.parametrize("sign", ONE_SIDED)
def test_the_side_is_asked_where_there_is_a_sign_and_only_there(sign: str) -> None:
    side = next(key for key, about in SIDES.items() if about == sign)
    there = {**WELL.answers, "ulcer_before": True, sign: ONE_SIDED[sign]}
    assert side in BOOK.judge(there, [], WELL.age).shown
    for other in (WELL.answers.get(sign, True), DONT_KNOW):
        assert side not in BOOK.judge({**there, sign: other}, [], WELL.age).shown


def test_each_sign_has_its_side() -> None:
    assert sorted(SIDES.values()) == sorted(ONE_SIDED)


@pytest.mark.parametrize("key", CASES)
def test_a_side_holds_and_eases_nothing_answered_or_not(key: str) -> None:
    case = CASES[key]
    without = {name: said for name, said in case.answers.items() if name not in SIDES}
    plain = judged(case, without)
    for said in ("left", "both", DONT_KNOW):
        assert judged(case, without | dict.fromkeys(SIDES, said)) == plain


def test_nothing_in_a_shipped_book_looks_at_a_side() -> None:
    for place in (None, "uk", "us"):
        content = book_for(place).content.model_dump(exclude={"groups", "words"})
        assert not [side for side in SIDES if side in json.dumps(content, default=str)]
