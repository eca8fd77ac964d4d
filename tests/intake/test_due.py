"""By when an answer is due. Checks: a calendar of 2026 (published: ISO 8601 week days); the numbers
of days are our own, no source."""

import json
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.intake.due import due_on
from heelwright.rulebook.schema import WITHIN

CASES = json.loads((Path(__file__).parents[1] / "parity" / "due.json").read_text())
days = st.dates(date(2020, 1, 1), date(2040, 1, 1))


@pytest.mark.parametrize("case", CASES, ids=[f"{c['within']}, {c['name']}" for c in CASES])
def test_the_table(case: dict[str, str]) -> None:
    due = due_on(date.fromisoformat(case["made_on"]), case["within"])
    assert due.isoformat() == case["due_on"]


@given(days)
def test_what_is_more_urgent_is_due_no_later(made_on: date) -> None:
    due = [due_on(made_on, within) for within in reversed(WITHIN)]
    assert due == sorted(due)
    assert due[0] == made_on


@given(days, st.sampled_from(WITHIN[:3]))
def test_what_is_due_later_is_due_on_a_working_day(made_on: date, within: str) -> None:
    assert due_on(made_on, within).weekday() < 5
