"""What speaks against a visit, from the vectors that the phone runs as well. Check: our own rule.
Days of the week: the Gregorian calendar (2026-11-25 is a Wednesday)."""

from datetime import date
from typing import Any

import pytest

from heelwright.schedule.rules.objections import (
    Around,
    Asked,
    Other,
    minute_of,
    objections,
    squeezes,
)
from tests.parity.vectors import read


@pytest.mark.parametrize("case", read("objections.json"), ids=lambda case: case["name"])
def test_what_speaks_against_a_visit(case: dict[str, Any]) -> None:
    day, starts, minutes = case["asked"]
    spans = [date.fromisoformat(end) for span in case["off"] for end in span]
    around = Around(
        week=case["week"],
        off=list(zip(spans[::2], spans[1::2], strict=True)),
        others=[
            Other(minute_of(at), minute_of(at) + length, drive)
            for at, length, drive in case["others"]
        ],
        free=case["free"],
        latest=case["latest"] and date.fromisoformat(case["latest"]),
    )
    asked = Asked(date.fromisoformat(day), minute_of(starts), minutes)
    assert objections(asked, around) == case["codes"]
    found = squeezes(asked, around.others)
    assert [[each.before, each.drive, each.between] for each in found] == case["squeezes"]
