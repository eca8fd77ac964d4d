"""What travel comes to, on the server: the vectors, and with the phone's built code at random.

Sources of the vectors: as `miles.json` names them, case by case.
"""

import json
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tests.parity.mileage_cases import claimed, draw, rates_by_place
from tests.parity.node import built, node
from tests.parity.vectors import HERE, read
from tests.run_length import runs

CASES = read("miles.json")["claims"]
VEHICLES = read("miles.json")["vehicles"]
YEARS = runs(1_000, 50_000)


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_what_travel_comes_to(case: dict[str, Any]) -> None:
    found = claimed(case)
    assert set(found["years"]) == set(case["years"])
    for start, expected in case["years"].items():
        lines = [line[:2] + line[3:] for line in found["years"][start]["lines"]]
        year = found["years"][start] | {"lines": lines}
        assert {key: year[key] for key in expected} == expected
    if "legs" in case:
        assert found["legs"] == case["legs"]


@pytest.mark.parametrize("case", VEHICLES, ids=[case["name"] for case in VEHICLES])
def test_how_far_a_vehicle_went(case: dict[str, Any]) -> None:
    found = claimed(case)["vehicles"]
    assert {start: set(years) for start, years in found.items()} == {
        start: set(years) for start, years in case["vehicles"].items()
    }
    for start, vehicles in case["vehicles"].items():
        for vehicle, expected in vehicles.items():
            year = found[start][vehicle]
            assert {key: year[key] for key in expected} == expected


def test_the_legs_add_up_to_the_lines() -> None:
    random = Random("heelwright miles add up")
    for _ in range(200):
        found = claimed(draw(random))
        amounts = (Decimal(part) for leg in found["legs"] for part in leg)
        assert sum(amounts) == sum(Decimal(year["amount"]) for year in found["years"].values())


def test_both_reckon_random_years_alike(tmp_path: Path) -> None:
    random = Random("heelwright miles")
    cases = [draw(random) for _ in range(YEARS)]
    given, theirs = tmp_path / "cases.json", tmp_path / "claimed.json"
    given.write_text(json.dumps({"rates": rates_by_place(), "cases": cases}), encoding="utf-8")
    node(HERE / "miles_all.mjs", built("tests/domain/trips/claimed.ts", tmp_path), given, theirs)
    by_phone = json.loads(theirs.read_text(encoding="utf-8"))
    assert len(by_phone) == len(cases)
    for case, told in zip(cases, by_phone, strict=True):
        assert claimed(case) == told, case
    # Years that came to nothing would show nothing.
    assert sum(1 for told in by_phone if any(told["legs"])) > YEARS / 2
