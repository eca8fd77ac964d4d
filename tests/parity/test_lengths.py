"""How long a visit is proposed to be, from the vectors that the phone runs as well. Check: our own
rule; the median: its textbook definition."""

from typing import Any

import pytest

from heelwright.schedule.rules.lengths import proposed_minutes
from tests.parity.vectors import read


@pytest.mark.parametrize("case", read("lengths.json"), ids=lambda case: case["name"])
def test_how_long_a_visit_is_proposed_to_be(case: dict[str, Any]) -> None:
    assert proposed_minutes(case["book"], case["took"]) == case["minutes"]
