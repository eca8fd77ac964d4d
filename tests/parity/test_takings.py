"""What money, prices and sales come to, on the server: the vectors, which the phone runs as well.

Sources: as `takings.json` names them; that a price counts from its day on is common practice, no
source.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from heelwright.money import places, rounded
from heelwright.takings.rules.prices import Price, price_on
from tests.parity.vectors import read

VECTORS = read("takings.json")


@pytest.mark.parametrize("case", VECTORS["places"], ids=lambda case: case["currency"])
def test_each_currency_has_its_places(case: dict[str, Any]) -> None:
    assert places(case["currency"]) == case["places"]


@pytest.mark.parametrize("case", VECTORS["texts"], ids=lambda case: case["text"])
def test_an_amount_as_text(case: dict[str, Any]) -> None:
    minor = Decimal(case["minor"]).scaleb(-places(case["currency"]))
    assert str(rounded(minor, case["currency"])) == case["text"]


@pytest.mark.parametrize("case", VECTORS["prices"]["cases"], ids=lambda case: case["why"])
def test_what_something_costs_on_a_day(case: dict[str, Any]) -> None:
    prices = [
        Price(
            date.fromisoformat(one["starts"]),
            None if one["amount"] is None else Decimal(one["amount"]),
            one["facility"],
        )
        for one in VECTORS["prices"]["list"]
    ]
    found = price_on(prices, case["facility"], date.fromisoformat(case["day"]))
    assert (found and str(found.amount)) == case["amount"]
