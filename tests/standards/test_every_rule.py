"""Each rule of the shipped book has a client for whom it fires, and its outcome is written here.

The table pins the book: it is its author's own reading, not a source. A rule that is changed,
loosened or taken out fails.
Status of each rule (published and so on) is the rule's own `basis`; see docs/rulebook-sources.md.
"""

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import OUTCOMES, book_for
from tests.standards.clients import DIABETIC, NUMB, OLDER, WELL, finding, fired, judged

START = {"well": (WELL, 50), "diabetic": (DIABETIC, 50), "older": (OLDER, 80)}
CASES: list[dict[str, Any]] = yaml.safe_load(
    (Path(__file__).parent / "rule_cases.yaml").read_text(encoding="utf-8")
)["cases"]


def touch(answers: dict[str, Any]) -> dict[str, Any]:
    """`touch_test: numb` reads better in the table than six entries."""
    return answers | ({"touch_test": NUMB} if answers.get("touch_test") == "numb" else {})


def identify(case: dict[str, Any]) -> str:
    return f"{case['rule']}-{case.get('answers', '')}{case.get('marks', '')}"


def answers_of(case: dict[str, Any]) -> tuple[dict[str, Any], int]:
    base, age = START[case.get("start", "well")]
    return base | touch(case.get("answers", {})), case.get("age", age)


def marks_of(case: dict[str, Any]) -> list[dict[str, Any]]:
    return [finding(**mark) for mark in case.get("marks", [])]


@pytest.mark.parametrize("case", CASES, ids=identify)
def test_the_rule_fires_with_the_outcome_that_is_expected(case: dict[str, Any]) -> None:
    answers, age = answers_of(case)
    judgement = judged(answers, marks_of(case), age, case.get("place"))
    rule = next((rule for rule in judgement.fired if rule.id == case["rule"]), None)
    assert rule is not None
    assert [rule.outcome, rule.refer_to, rule.within, list(rule.limits)] == case["expect"]


@pytest.mark.parametrize("case", CASES, ids=identify)
def test_the_rule_does_not_fire_for_the_client_it_started_from(case: dict[str, Any]) -> None:
    if case.get("always"):
        return
    base, age = START[case.get("start", "well")]
    assert case["rule"] not in fired(judged(base, age=age, place=case.get("place")))


@pytest.mark.parametrize("place", [None, "us", "uk"])
def test_no_rule_is_without_a_case(place: str | None) -> None:
    covered = {case["rule"] for case in CASES}
    assert {rule.id for rule in book_for(place).content.rules} <= covered


@pytest.mark.parametrize("start", START)
def test_a_stopping_rule_is_never_closed_by_silence(start: str) -> None:
    """Take away any one answer: what could stop the work is open, and the visit held."""
    base, age = START[start]
    settled = judged(base, age=age)
    for key in base:
        unasked = judged({k: v for k, v in base.items() if k != key}, age=age)
        # What stops no work holds none: the number of a sugar test, which many do not have at hand.
        assert unasked.held or key == "hba1c_percent", key
        assert key in unasked.to_ask
    assert settled.complete


MAY_STAY_HELD = {
    # Only looking, asking again, or a clinician's visit settles these: no clearance does.
    "unwell_today", "chest_or_breath", "sudden_cold_leg", "black_tissue", "spreading_infection",
    "left_foot_seen", "right_foot_seen",
    # These bring further questions, which then settle it.
    "diabetes", "blood_thinner", "understands_today",
}  # fmt: skip


@pytest.mark.parametrize("start", START)
def test_not_knowing_leads_somewhere(start: str) -> None:
    """A "don't know" ends in limits, a clearance or a referral, not in a hold without way out."""
    base, age = START[start]
    for key in base.keys() - MAY_STAY_HELD:
        assert not judged(base | {key: "dont_know"}, age=age).held, key


ONE_ANSWER = [
    (key, value)
    for case in CASES
    for key, value in case.get("answers", {}).items()
    if len(case["answers"]) == 1 and value in (True, "dont_know") and case.get("place") is None
]


@given(start=st.sampled_from(sorted(START)), changes=st.lists(st.sampled_from(ONE_ANSWER)))
def test_one_more_risk_never_makes_the_outcome_milder(
    start: str, changes: list[tuple[str, Any]]
) -> None:
    answers, age = START[start]
    reached = 0
    for key, value in dict(changes).items():
        if key not in answers:
            continue
        answers = answers | {key: value}
        outcome = OUTCOMES.index(judged(answers, age=age).outcome)
        assert outcome >= reached
        reached = outcome
