"""Diabetic clients and clients of 65 and over are asked more, and none of it can be left out.

What a diabetic client is asked follows ADA Standards of Care 2024, section 12 (published by a
secondary source) and IWGDF 2023 (published by a secondary source); what an older client is asked
is common practice, no source.
"""

import re
from typing import Any

import pytest

from heelwright.rulebook import book_for
from tests.standards.clients import DIABETIC, OLDER, fired, judged

ASKED_OF_DIABETICS = [
    "diabetes_type", "diabetes_years", "last_foot_exam", "last_foot_exam_by", "hba1c_in",
    "numb_feet", "ulcer_before", "amputation", "eye_or_kidney_trouble", "kidney_failure",
    "footwear", "poor_circulation", "charcot_before",
]  # fmt: skip
ASKED_FROM_65 = [
    "falls", "skin_tears", "blood_thinner", "memory_trouble", "who_decides", "understands_today",
    "lives_alone", "leg_swelling", "reach_feet",
]  # fmt: skip


def without(answers: dict[str, Any], *gone: str) -> dict[str, Any]:
    return {key: value for key, value in answers.items() if key not in gone}


@pytest.mark.parametrize("question", ASKED_OF_DIABETICS)
@pytest.mark.parametrize("diabetes", [True, "dont_know"])
def test_a_diabetic_client_is_asked(question: str, diabetes: Any) -> None:
    judgement = judged(without(DIABETIC, question) | {"diabetes": diabetes})
    assert judgement.held
    assert question in judgement.to_ask


@pytest.mark.parametrize("question", ASKED_FROM_65)
def test_an_older_client_is_asked(question: str) -> None:
    judgement = judged(without(OLDER, question), age=65)
    assert judgement.held
    assert question in judgement.to_ask


def test_nobody_else_is_put_to_it() -> None:
    shown = set(judged({"diabetes": False}, age=50).shown)
    groups = {group.id: group for group in book_for(None).content.groups}
    extra = [name for name in groups if name.startswith(("diabetes_", "long_sugar", "over_65"))]
    assert len(extra) == 7
    assert not shown & {q.id for name in extra for q in groups[name].questions}


def test_about_sixty_questions_in_short_groups_with_help_in_plain_words() -> None:
    content = book_for(None).content
    health = [group for group in content.groups if group.part == "health"]
    questions = [question for group in health for question in group.questions]
    # Which side it is on is asked after a yes alone.
    assert 55 <= len([question for question in questions if question.side_of is None]) <= 70
    assert max(len(group.questions) for group in health) <= 6
    for question in questions:
        assert content.words["en"][f"question.{question.id}.help"]


def test_every_question_matters() -> None:
    """To a rule, what to give out, the interval, what else is asked, or the letter."""
    content = book_for(None).content
    asked = [q.ask_when or "" for group in content.groups for q in group.questions]
    uses = [
        *(r.when for r in content.rules),
        *(a.when or "" for a in content.aftercare),
        *(i.when for i in content.intervals),
        *(g.ask_when or "" for g in content.groups),
    ]
    names = set(re.findall(r"[a-z][a-z0-9_]+", " ".join([*uses, *asked])))
    sources = {name for fact in content.facts if fact.id in names for name in fact.from_}
    for group in content.groups:
        for question in group.questions:
            assert question.id in names | sources or question.side_of in names, question.id


SUGAR_TESTS: list[tuple[dict[str, Any], bool]] = [
    # 8.5 % and 69 mmol/mol: Centre for Perioperative Care 2021, from memory
    ({"hba1c_in": "percent", "hba1c_percent": 8.5}, True),
    ({"hba1c_in": "percent", "hba1c_percent": 8.4}, False),
    ({"hba1c_in": "mmol_mol", "hba1c_mmol_mol": 69}, True),
    ({"hba1c_in": "mmol_mol", "hba1c_mmol_mol": 68}, False),
    # A number in one unit says nothing once the other unit is chosen
    ({"hba1c_in": "mmol_mol", "hba1c_percent": 12, "hba1c_mmol_mol": 50}, False),
    # Not knowing is a normal answer
    ({"hba1c_in": "dont_know"}, False),
    ({"hba1c_in": "percent", "hba1c_percent": "dont_know"}, False),
    ({"hba1c_in": "mmol_mol", "hba1c_mmol_mol": "dont_know"}, False),
]


@pytest.mark.parametrize(("test", "high"), SUGAR_TESTS, ids=str)
def test_the_long_term_sugar_test(test: dict[str, Any], high: bool) -> None:
    judgement = judged(without(DIABETIC, "hba1c_percent") | test)
    assert ("diabetes_sugar_high" in fired(judgement)) is high
    assert judgement.complete
    assert judgement.outcome == "go_with_limits"


def test_both_units_of_the_sugar_test_mean_the_same() -> None:
    # IFCC and NGSP: % = 0.09148 x mmol/mol + 2.152 (master equation, from memory).
    assert round(0.09148 * 69 + 2.152, 1) == 8.5


@pytest.mark.parametrize("unit", ["percent", "mmol_mol"])
def test_a_number_in_the_wrong_unit_is_not_taken(unit: str) -> None:
    wrong = {"percent": 55, "mmol_mol": 7.2}[unit]
    problems = book_for(None).validate({"hba1c_in": unit, f"hba1c_{unit}": wrong}, [], 50)
    assert [(one.field, one.code) for one in problems] == [
        (f"answers.hba1c_{unit}", "out_of_range")
    ]


FOLLOW_UPS: list[tuple[str, Any, str, Any]] = [
    ("numb_feet", True, "numb_known", True),
    ("poor_circulation", True, "flow_worse", False),
    ("ulcer_before", True, "ulcer_healed", True),
    ("skin_disease", True, "skin_flare", False),
    ("leg_swelling", "mild_known", "bandages", False),
    ("heart_trouble", True, "heart_device", False),
]


@pytest.mark.parametrize(("first", "answer", "then", "good"), FOLLOW_UPS)
def test_a_follow_up_is_put_only_where_it_is_called_for(
    first: str, answer: Any, then: str, good: Any
) -> None:
    assert then not in judged(OLDER, age=80).shown
    assert then not in judged(OLDER | {first: "dont_know"}, age=80).shown
    called_for = judged(OLDER | {first: answer}, age=80)
    assert then in called_for.shown and then in called_for.to_ask
    settled = judged(OLDER | {first: answer, then: good}, age=80)
    assert settled.complete and not settled.held
