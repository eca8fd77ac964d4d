"""How long consent and screen speak for a visit, from the vectors that the phone runs as well.
Check: our own rule; the days by the Gregorian calendar."""

from datetime import date
from typing import Any

import pytest

from heelwright.schedule.rules.residents import (
    Agreed,
    consent_on,
    consent_until,
    screen_on,
    screen_until,
)
from tests.parity.vectors import read


def day_of(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


@pytest.mark.parametrize("case", read("resident_states.json"), ids=lambda case: case["name"])
def test_how_it_stands_with_a_resident(case: dict[str, Any]) -> None:
    agreed = [Agreed(date.fromisoformat(day), by) for day, by in case["agreed"]]
    renew, recent = case["days"]
    consent = consent_until(agreed, case["decides"], renew)
    screen = screen_until(day_of(case["screened"]), recent)
    assert [consent, screen] == [day_of(each) for each in case["until"]]
    day = date.fromisoformat(case["day"])
    assert [consent_on(consent, day), screen_on(screen, day)] == case["states"]
