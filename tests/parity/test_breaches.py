"""What of a visit's record goes past its limits, from the vectors that the phone runs as well."""

from typing import Any

import pytest

from heelwright.visits.rules import breaches
from tests.parity.vectors import read

HELD = read("breaches.json")
BITS = {bit["id"]: bit for bit in HELD["bits"]}


@pytest.mark.parametrize("case", HELD["cases"], ids=[case["name"] for case in HELD["cases"]])
def test_breaches(case: dict[str, Any]) -> None:
    assert breaches(HELD["free"] | case["limits"], BITS, case) == case["expect"]


def test_no_vector_is_skipped() -> None:
    names = [case["name"] for case in HELD["cases"]]
    assert len(names) == len(set(names)) == read("counts.json")["breaches"] >= 25
