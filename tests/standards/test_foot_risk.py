"""Diabetic foot risk: IWGDF 2023 Table 1 and NICE NG19 row by row, and where they disagree.

IWGDF 2023 Table 1: published by a secondary source (BMJ Best Practice; Guideline Central).
NICE NG19: published by a secondary source (NHS England FRAME); recommendation numbers from memory.
The list of disagreements is computed from the two tables.
"""

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import book_for
from tests.standards.clients import DIABETIC, NUMB, WELL, finding, fired, judged

# What a sign looks like in the answers. Loss of feeling (LOPS) comes from the touch test.
SIGNS: dict[str, dict[str, Any]] = {
    "lops": {"touch_test": NUMB},
    "pad": {"poor_circulation": True, "flow_worse": False},
    "deformity": {"deformity": True},
    "ulcer": {"ulcer_before": True, "ulcer_healed": True},
    "amputation": {"amputation": True},
    "esrd": {"kidney_failure": True},
    "dialysis": {"kidney_failure": True, "on_dialysis": True},
    "callus": {},
}

# (signs, IWGDF rule, interval in months)
IWGDF_TABLE_1 = [
    ("", "iwgdf_0", (12, 12)),  # published by a secondary source, all rows
    ("lops", "iwgdf_1", (6, 12)),
    ("pad", "iwgdf_1", (6, 12)),
    ("lops pad", "iwgdf_2", (3, 6)),
    ("lops deformity", "iwgdf_2", (3, 6)),
    ("pad deformity", "iwgdf_2", (3, 6)),
    ("lops pad deformity", "iwgdf_2", (3, 6)),
    ("lops ulcer", "iwgdf_3", (1, 3)),
    ("pad ulcer", "iwgdf_3", (1, 3)),
    ("lops amputation", "iwgdf_3", (1, 3)),
    ("pad amputation", "iwgdf_3", (1, 3)),
    ("lops esrd", "iwgdf_3", (1, 3)),
    ("pad esrd", "iwgdf_3", (1, 3)),
    ("lops pad deformity ulcer", "iwgdf_3", (1, 3)),
]

# (signs, NICE rule, reassessment in months, first seen in weeks)
NICE_NG19 = [
    ("", "nice_low", (12, 12), None),  # published by a secondary source, all rows
    ("callus", "nice_low", (12, 12), None),
    ("deformity", "nice_moderate", (3, 6), (6, 8)),
    ("lops", "nice_moderate", (3, 6), (6, 8)),
    ("pad", "nice_moderate", (3, 6), (6, 8)),
    ("ulcer", "nice_high", (1, 2), (2, 4)),
    ("amputation", "nice_high", (1, 2), (2, 4)),
    ("dialysis", "nice_high", (1, 2), (2, 4)),
    ("lops pad", "nice_high", (1, 2), (2, 4)),
    ("lops callus", "nice_high", (1, 2), (2, 4)),
    ("lops deformity", "nice_high", (1, 2), (2, 4)),
    ("pad callus", "nice_high", (1, 2), (2, 4)),
    ("pad deformity", "nice_high", (1, 2), (2, 4)),
]

# (signs, IWGDF rule, NICE rule): computed from the two tables
DISAGREEMENTS = [
    ("lops", "iwgdf_1", "nice_moderate"),
    ("deformity", "iwgdf_0", "nice_moderate"),
    ("lops deformity", "iwgdf_2", "nice_high"),
    ("lops pad", "iwgdf_2", "nice_high"),
    ("lops callus", "iwgdf_1", "nice_high"),
    ("lops ulcer", "iwgdf_3", "nice_high"),
    ("dialysis", "iwgdf_gap_high_marker_only", "nice_high"),
    ("callus", "iwgdf_0", "nice_low"),
]
ADA_YEARLY_CHECK: list[tuple[dict[str, Any], str]] = [
    # ADA Standards of Care 2024, section 12: a foot check at least once a year
    # (published by a secondary source)
    ({"last_foot_exam": "longer_ago"}, "diabetes_check_overdue"),
    ({"last_foot_exam": "never"}, "diabetes_check_overdue"),
    ({"last_foot_exam": "dont_know"}, "diabetes_check_overdue"),
    # The check includes leg and foot pulses (published by a secondary source)
    ({"foot_exam_flow": "not_checked"}, "diabetes_flow_not_checked"),
    ({"foot_exam_flow": "dont_know"}, "diabetes_flow_not_checked"),
    ({"foot_exam_flow": "poor"}, "iwgdf_1"),
    # Charcot and eye or kidney disease are part of the history (published by a secondary source)
    ({"charcot_before": True}, "charcot_in_the_past"),
    ({"charcot_before": "dont_know"}, "charcot_in_the_past"),
    # It is a clinician's evaluation (published by a secondary source)
    ({"last_foot_exam_by": "someone_else"}, "diabetes_checked_by_others"),
    ({"last_foot_exam_by": "nobody"}, "diabetes_checked_by_others"),
]
# (answers, age, rule, whether it speaks): ADA Standards of Care 2024, section 12 (published by a
# secondary source)
ADA_TESTS: list[tuple[dict[str, Any], int, str, bool]] = [
    # Nerves: from diagnosis in type 2, from 5 years in type 1, then yearly
    ({"diabetes_type": "type_2", "diabetes_years": 0}, 40, "diabetes_nerves_checked_yearly", True),
    ({"diabetes_type": "type_1", "diabetes_years": 4}, 40, "diabetes_nerves_checked_yearly", False),
    ({"diabetes_type": "type_1", "diabetes_years": 5}, 40, "diabetes_nerves_checked_yearly", True),
    # Blood flow: from 50 years of age, or harm to small vessels; think of it from 10 years on
    ({"diabetes_years": 2}, 49, "diabetes_flow_to_be_tested", False),
    ({"diabetes_years": 2}, 50, "diabetes_flow_to_be_tested", True),
    ({"diabetes_years": 9}, 40, "diabetes_flow_to_be_tested", False),
    ({"diabetes_years": 10}, 40, "diabetes_flow_to_be_tested", True),
    ({"diabetes_years": 2, "eye_or_kidney_trouble": True}, 40, "diabetes_flow_to_be_tested", True),
]
CATEGORIES = {"iwgdf_0", "iwgdf_1", "iwgdf_2", "iwgdf_3", "iwgdf_gap_high_marker_only"}
NICE = {"nice_low", "nice_moderate", "nice_high"}


def client_with(signs: str, base: dict[str, Any] = DIABETIC) -> Any:
    answers = dict(base)
    for sign in signs.split():
        answers |= SIGNS[sign]
    return judged(answers, [finding("callus")] if "callus" in signs.split() else [])


def rule(rule_id: str) -> Any:
    return next(rule for rule in book_for(None).content.rules if rule.id == rule_id)


def months(rule_id: str) -> tuple[float, ...]:
    return tuple(rule(rule_id).check_every_months)


@pytest.mark.parametrize(("signs", "category", "interval"), IWGDF_TABLE_1)
def test_iwgdf_2023_table_1(signs: str, category: str, interval: tuple[int, int]) -> None:
    judgement = client_with(signs)
    assert fired(judgement) & CATEGORIES == {category}
    assert months(category) == interval
    assert judgement.complete
    assert judgement.outcome == ("go_with_limits" if category == "iwgdf_0" else "needs_clearance")


@pytest.mark.parametrize(("signs", "category", "interval", "first_seen"), NICE_NG19)
def test_nice_ng19_categories(
    signs: str, category: str, interval: tuple[int, int], first_seen: tuple[int, int] | None
) -> None:
    judgement = client_with(signs)
    assert fired(judgement) & NICE == {category}
    assert months(category) == interval
    seen = rule(category).first_seen_weeks
    assert (None if seen is None else tuple(seen)) == first_seen
    assert judgement.outcome == ("go_with_limits" if category == "nice_low" else "needs_clearance")


@pytest.mark.parametrize(("signs", "iwgdf", "nice"), DISAGREEMENTS)
def test_both_frameworks_fire_and_the_stricter_outcome_wins(
    signs: str, iwgdf: str, nice: str
) -> None:
    judgement = client_with(signs)
    assert {iwgdf, nice} <= fired(judgement)
    order = ["go", "go_with_limits", "needs_clearance", "refer_first", "emergency"]
    stricter = max(rule(iwgdf).outcome, rule(nice).outcome, key=order.index)
    assert order.index(judgement.outcome) >= order.index(stricter)


def test_the_book_says_that_the_frameworks_disagree() -> None:
    words = book_for(None).content.words["en"]
    assert "NICE is stricter" in words["rule.iwgdf_1"]
    assert "The stricter one is kept" in words["rule.iwgdf_gap_deformity_only"]


def test_gap_1_deformity_alone_is_not_waved_through() -> None:
    # House rule; the table read word for word gives category 0 (computed).
    judgement = client_with("deformity")
    assert "iwgdf_gap_deformity_only" in fired(judgement)
    assert judgement.outcome == "needs_clearance"


@pytest.mark.parametrize("sign", ["ulcer", "amputation", "esrd", "dialysis"])
def test_gap_2_a_high_marker_alone_is_held_as_category_3(sign: str) -> None:
    # House rule; the table read word for word gives category 0 (computed).
    judgement = client_with(sign)
    assert fired(judgement) & CATEGORIES == {"iwgdf_gap_high_marker_only"}
    assert months("iwgdf_gap_high_marker_only") == months("iwgdf_3")
    assert judgement.outcome == "needs_clearance"


@pytest.mark.parametrize("flags", list(product((False, True), repeat=len(SIGNS))))
def test_each_diabetic_foot_has_one_category_in_each_framework(flags: tuple[bool, ...]) -> None:
    signs = " ".join(sign for sign, there in zip(SIGNS, flags, strict=True) if there)
    names = fired(client_with(signs))
    assert len(names & CATEGORIES) == 1
    assert len(names & NICE) == 1


@pytest.mark.parametrize("signs", ["", "lops", "pad", "ulcer", "lops pad deformity callus"])
def test_without_diabetes_neither_framework_speaks(signs: str) -> None:
    assert not fired(client_with(signs, WELL)) & (CATEGORIES | NICE)


@given(
    sign=st.sampled_from(["poor_circulation", "ulcer_before", "amputation", "kidney_failure",
                          "on_dialysis", "deformity", "numb_feet", "touch_test"])
)  # fmt: skip
def test_not_knowing_a_risk_ranks_no_lower_than_having_it(sign: str) -> None:
    # House rule: unanswered is never "no", and "don't know" about a risk counts as the risk.
    having = {"touch_test": NUMB} if sign == "touch_test" else {sign: True}
    known, unknown = judged(DIABETIC | having), judged(DIABETIC | {sign: "dont_know"})
    assert fired(unknown) & (CATEGORIES | NICE) == fired(known) & (CATEGORIES | NICE)
    assert unknown.outcome == known.outcome == "needs_clearance"


@pytest.mark.parametrize(("change", "rule_id"), ADA_YEARLY_CHECK)
def test_the_yearly_check_of_the_ada(change: dict[str, str], rule_id: str) -> None:
    judgement = judged(DIABETIC | change)
    assert rule_id in fired(judgement)
    assert judgement.outcome == "needs_clearance"
    assert not judgement.held


@pytest.mark.parametrize("unanswered", ["touch_test", "poor_circulation", "ulcer_before",
                                        "amputation", "on_dialysis", "deformity",
                                        "last_foot_exam", "foot_exam_flow"])  # fmt: skip
def test_an_unanswered_risk_holds_a_diabetic_client(unanswered: str) -> None:
    judgement = judged({key: value for key, value in DIABETIC.items() if key != unanswered})
    assert judgement.held
    assert unanswered in judgement.to_ask


@pytest.mark.parametrize("place", [None, "us", "uk"])
@pytest.mark.parametrize("signs", ["", "deformity", "ulcer"])
def test_a_diabetic_client_never_gets_a_plain_go(signs: str, place: str | None) -> None:
    answers = dict(DIABETIC)
    for sign in signs.split():
        answers |= SIGNS[sign]
    for diabetes in (True, "dont_know"):
        judgement = judged(answers | {"diabetes": diabetes}, place=place)
        assert judgement.outcome != "go"
        assert "diabetes_limits" in fired(judgement)


@pytest.mark.parametrize(("change", "age", "rule_id", "speaks"), ADA_TESTS, ids=str)
def test_the_tests_that_the_ada_asks_for(
    change: dict[str, Any], age: int, rule_id: str, speaks: bool
) -> None:
    assert (rule_id in fired(judged(DIABETIC | change, age=age))) is speaks
