"""When a visit is due, from the vectors that the phone runs as well. Check: our own rule; the days
by the Gregorian calendar."""

from datetime import date
from typing import Any

import pytest

from heelwright.schedule.rules.due import state_of, window
from tests.parity.vectors import read


@pytest.mark.parametrize("case", read("due_visits.json"), ids=lambda case: case["name"])
def test_when_a_visit_is_due(case: dict[str, Any]) -> None:
    due = None
    if case["since"] is not None:
        since = date.fromisoformat(case["since"])
        due = window(since, case["weeks"], case["may_wait"])
        assert [day.isoformat() for day in (due.first, due.day, due.last)] == case["window"]
    booked = [date.fromisoformat(day) for day in case["booked"]]
    assert state_of(due, booked, date.fromisoformat(case["today"])) == case["state"]
