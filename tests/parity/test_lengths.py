"""How long a visit is proposed to be, from the vectors that the phone runs as well. Check: our own
rule; the median: its textbook definition."""

from typing import Any

import pytest

from heelwright.rulebook.service_entries import Service
from heelwright.schedule.rules.lengths import (
    PastVisit,
    proposed_minutes,
    usual_minutes,
    usual_service,
)
from tests.parity.vectors import read

SERVICES = [
    Service(id=name, minutes=minutes, for_new=name == "first", source="x", basis="common_practice")
    for name, minutes in (("care", 60), ("first", 75), ("nails", 30))
]


@pytest.mark.parametrize("case", read("lengths.json"), ids=lambda case: case["name"])
def test_how_long_a_visit_is_proposed_to_be(case: dict[str, Any]) -> None:
    assert proposed_minutes(case["book"], case["took"]) == case["minutes"]


@pytest.mark.parametrize("case", read("usual_visits.json"), ids=lambda case: case["name"])
def test_what_the_next_visit_is_for(case: dict[str, Any]) -> None:
    past = [PastVisit(service, minutes) for service, minutes in case["past"]]
    service = usual_service(past, SERVICES)
    assert service is not None
    assert (service.id, usual_minutes(past, service)) == (case["service"], case["minutes"])
    assert usual_service(past, []) is None
