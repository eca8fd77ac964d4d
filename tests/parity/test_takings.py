"""What money, prices and sales come to, on the server: the vectors, which the phone runs as well.

Sources: as `takings.json` names them; that a price counts from its day on is common practice, no
source.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.money import places, rounded, shown
from heelwright.takings.rules.invoices import Billed, billed, states
from heelwright.takings.rules.prices import Price, price_on
from heelwright.takings.rules.told import Payment, Sale, books
from heelwright.takings.rules.totals import Line, summed
from tests.parity.vectors import read

VECTORS = read("takings.json")


@pytest.mark.parametrize("case", VECTORS["places"], ids=lambda case: case["currency"])
def test_each_currency_has_its_places(case: dict[str, Any]) -> None:
    assert places(case["currency"]) == case["places"]


@pytest.mark.parametrize("case", VECTORS["texts"], ids=lambda case: case["text"])
def test_an_amount_as_text(case: dict[str, Any]) -> None:
    minor = Decimal(case["minor"]).scaleb(-places(case["currency"]))
    assert str(rounded(minor, case["currency"])) == case["text"]


# As Unicode CLDR has it for English where each is spent, from memory.
@pytest.mark.parametrize(
    ("currency", "amount", "text"),
    [
        ("GBP", "33.5", "£33.50"),
        ("GBP", "-0.5", "-£0.50"),
        ("USD", "1234567.895", "$1,234,567.90"),
        ("EUR", "0", "€0.00"),
        ("JPY", "1200", "1,200 JPY"),
        ("KWD", "1.5", "1.500 KWD"),
        ("", "33.5", "33.50"),
    ],
)
def test_an_amount_on_paper(currency: str, amount: str, text: str) -> None:
    assert shown(currency, Decimal(amount)) == text


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


@pytest.mark.parametrize("case", VECTORS["totals"]["cases"], ids=lambda case: case["why"])
def test_what_a_sale_comes_to(case: dict[str, Any]) -> None:
    found = summed([_line(one) for one in case["lines"]], case["on_top"], case["currency"])
    assert str(found.total) == case["total"]
    told = [[str(rate), str(of.net), str(of.tax)] for rate, of in found.by_rate.items()]
    assert told == case["by_rate"]


@pytest.mark.parametrize("case", VECTORS["books"]["cases"], ids=lambda case: case["why"])
def test_what_was_received_and_what_is_due(case: dict[str, Any]) -> None:
    sales = [Sale(**_typed(one, "total")) for one in case["sales"]]
    payments = [Payment(**_typed(one, "amount")) for one in case["payments"]]
    found = books(sales, payments)
    received = [[day.isoformat(), way, int(amount)] for day, way, amount in found.received]
    assert received == case["received"]
    assert {id_: int(due) for id_, due in found.unpaid.items()} == case["unpaid"]
    assert sorted(found.doubled) == case["doubled"]


@pytest.mark.parametrize("case", VECTORS["states"]["cases"], ids=lambda case: case["why"])
def test_what_can_be_billed(case: dict[str, Any]) -> None:
    sales = [Sale(**_typed(one, "total")) for one in case["sales"]]
    payments = [Payment(**_typed(one, "amount")) for one in case["payments"]]
    assert states(sales, payments, case["billed"]) == case["states"]


@pytest.mark.parametrize("case", VECTORS["bills"]["cases"], ids=lambda case: case["why"])
def test_what_an_invoice_comes_to(case: dict[str, Any]) -> None:
    currency = case["currency"]
    sales = [[Billed(one["name"], _line(one)) for one in sale] for sale in case["sales"]]
    bill = billed(sales, case["on_top"], currency)

    def text(amount: Decimal) -> str:
        return str(rounded(amount, currency))

    lines = [
        [
            *(one.name, one.line.quantity, text(one.line.price), text(one.line.discount)),
            *(str(one.line.tax), text(one.line.amount)),
        ]
        for one in bill.lines
    ]
    assert lines == case["lines"]
    told = [[str(rate), str(of.net), str(of.tax)] for rate, of in bill.by_rate.items()]
    assert told == case["by_rate"]
    assert str(bill.total) == case["total"]


def _line(one: dict[str, Any]) -> Line:
    return Line(one["quantity"], *(Decimal(one[part]) for part in ("price", "discount", "tax")))


def _typed(told: dict[str, Any], amount: str) -> dict[str, Any]:
    lists = {name: tuple(told[name]) for name in ("beside", "replaces")}
    day = date.fromisoformat(told["day"])
    return told | lists | {"day": day, amount: Decimal(told[amount])}


CENTS = st.integers(0, 10**6).map(lambda cents: Decimal(cents).scaleb(-2))
RATES = st.integers(0, 99_999).map(lambda rate: Decimal(rate).scaleb(-3))


@st.composite
def some_line(draw: st.DrawFn) -> Line:
    quantity, price = draw(st.integers(1, 20)), draw(CENTS)
    most = int(quantity * price * 100)
    discount = Decimal(draw(st.integers(0, most))).scaleb(-2)
    return Line(quantity, price, discount, draw(RATES))


@given(st.lists(some_line(), max_size=8), st.booleans())
def test_no_cent_is_lost(lines: list[Line], on_top: bool) -> None:
    """The lines and the tax added to them are the total, and so are the parts by rate."""
    found = summed(lines, on_top, "GBP")
    amounts = sum((line.amount for line in lines), Decimal(0))
    assert found.total == (amounts + found.tax if on_top else amounts)
    assert found.total == sum(
        (taxed.net + taxed.tax for taxed in found.by_rate.values()), Decimal(0)
    )
    for rate, taxed in found.by_rate.items():
        assert abs(taxed.net * rate / 100 - taxed.tax) <= Decimal("0.01")
        assert taxed.tax == rounded(taxed.tax, "GBP")
