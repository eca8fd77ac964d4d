"""Invoices to facilities: what can be billed, the numbers, and taking one back. Numbers in a row
without a gap: Directive 2006/112/EC Art. 226(2), from memory. The rest is common practice, no
source."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heelwright.takings.models import Invoice
from heelwright.takings.rules.invoices import Billed, billed
from heelwright.takings.rules.totals import Line, summed
from tests.factories import ident, invoice_args, payment_args
from tests.parity.test_takings import some_line
from tests.sync.phone_model import fresh
from tests.takings.test_sales import rows_of, sold
from tests.world import Hand, World


def owed(world: World, hand: Hand | None = None, **more: object) -> str:
    told = {"facility": str(world.facility), "paid": "not_yet"} | more
    return sold(hand or world.technician, **told)


def asked(world: World, *sales: str, **more: object) -> dict[str, Any]:
    told = {"facility": str(world.facility), "sales": list(sales), "day": world.owner.day()}
    return invoice_args(**told | more)


def issued(world: World, *sales: str, **more: object) -> str:
    args = asked(world, *sales, **more)
    world.owner.do("issue_invoice", args)
    return str(args["invoice"])


def void(world: World, invoice: str) -> None:
    told = {"invoice": invoice, "day": world.owner.day(), "reason": "Wrong house"}
    world.owner.do("void_invoice", told)


def numbers(world: World) -> list[int]:
    rows = Invoice.objects.filter(practice=world.practice).order_by("number")
    return list(rows.values_list("number", flat=True))


def no(world: World, *sales: str, **more: object) -> tuple[str, str | None]:
    refusal = world.owner.send("issue_invoice", asked(world, *sales, **more)).refusal
    assert refusal is not None
    return refusal.code, refusal.field


@pytest.mark.django_db
def test_the_owner_alone_issues_and_sees_them(world: World) -> None:
    sale = owed(world)
    for hand in (world.technician, world.coordinator):
        assert hand.no("issue_invoice", asked(world, sale)) == "not_allowed"
    invoice = issued(world, sale)
    row = rows_of(world.owner, "invoice")[invoice]
    assert (row["number"], row["days"], row["void_on"]) == (1, 30, None)
    for hand in (world.technician, world.coordinator, world.colleague, world.stranger):
        assert not rows_of(hand, "invoice")
        assert hand.no("void_invoice", {"invoice": invoice, "day": hand.day()}) in {
            "not_allowed",
            "not_found",
        }


@pytest.mark.django_db
def test_numbers_go_on_from_the_first_that_the_owner_chose(world: World) -> None:
    for _ in range(3):
        issued(world, owed(world), first_number=118)
    assert numbers(world) == [118, 119, 120]


@pytest.mark.django_db
def test_a_refused_one_takes_no_number(world: World) -> None:
    issued(world, owed(world))
    assert no(world, ident()) == ("not_found", "sales")
    issued(world, owed(world))
    assert numbers(world) == [1, 2]


@pytest.mark.django_db
def test_one_that_is_taken_back_keeps_its_number_and_frees_its_sales(world: World) -> None:
    sale = owed(world)
    first = issued(world, sale)
    assert no(world, sale) == ("billed", "sales")
    void(world, first)
    void(world, first)
    second = issued(world, sale)
    rows = rows_of(world.owner, "invoice")
    assert (rows[first]["number"], rows[first]["void_reason"]) == (1, "Wrong house")
    assert (rows[second]["number"], rows[second]["void_on"]) == (2, None)


@pytest.mark.django_db
def test_what_cannot_be_billed(world: World) -> None:
    hand, good = world.technician, owed(world)
    elsewhere = sold(hand, paid="not_yet")
    assert no(world, good, elsewhere) == ("wrong_facility", "sales")
    assert no(world, good, owed(world, currency="EUR")) == ("mixed", "sales")
    assert no(world, good, owed(world, tax_on_top=True)) == ("mixed", "sales")
    assert no(world, good, owed(world, paid="cash")) == ("paid", "sales")
    assert no(world) == ("too_short", "sales")
    part = owed(world)
    hand.do("record_payment", payment_args(sale=part, day=hand.day(), amount="1.00"))
    assert no(world, good, part) == ("paid", "sales")
    assert no(world, good, sold(world.stranger, paid="not_yet")) == ("not_found", "sales")
    assert numbers(world) == []


@pytest.mark.django_db
def test_what_was_corrected_taken_back_or_entered_twice(world: World) -> None:
    hand, first = world.technician, owed(world)
    second = owed(world, replaces=[first])
    assert no(world, first) == ("corrected", "sales")
    gone = owed(world, replaces=[second], lines=[])
    assert no(world, second) == ("corrected", "sales")
    assert no(world, gone) == ("corrected", "sales")
    visit = ident()
    one, other = (owed(world, visit=visit) for _ in range(2))
    assert no(world, one) == no(world, other) == ("twice", "sales")
    unsure = owed(world)
    for _ in range(2):
        hand.do("record_payment", payment_args(sale=unsure, day=hand.day()))
    assert no(world, unsure) == ("twice", "sales")


@pytest.mark.django_db
def test_what_corrects_a_billed_sale_is_not_billed_beside_it(world: World) -> None:
    first = owed(world)
    invoice = issued(world, first)
    second = owed(world, replaces=[first])
    third = owed(world, replaces=[second], facility=str(world.facility))
    assert no(world, third) == ("billed", "sales")
    void(world, invoice)
    issued(world, third)
    assert numbers(world) == [1, 2]


@pytest.mark.django_db
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(st.lists(st.booleans(), min_size=1, max_size=8))
def test_no_number_comes_twice_and_none_is_left_out(world: World, voided: list[bool]) -> None:
    """Whatever is taken back in between; `fresh` is what another phone of the owner gets."""
    before = numbers(world)
    sale = owed(world)
    for back in voided:
        invoice = issued(world, sale if back else owed(world))
        if back:
            void(world, invoice)
    told = sorted(row["number"] for row in fresh(world.owner).of("invoice").values())
    assert told == numbers(world) == list(range(1, len(before) + len(voided) + 1))


SALES = st.lists(st.lists(some_line(), min_size=1, max_size=5), min_size=1, max_size=6)


@given(SALES, st.booleans(), st.sampled_from(["GBP", "JPY", "KWD"]))
def test_an_invoice_comes_to_what_its_sales_are_due(
    sales: list[list[Line]], on_top: bool, currency: str
) -> None:
    """And its lines and taxes add up to it."""
    named = [[Billed(f"at {line.price}", line) for line in lines] for lines in sales]
    bill = billed(named, on_top, currency)
    dues = [summed(lines, on_top, currency) for lines in sales]
    assert bill.total == sum((due.total for due in dues), Decimal(0))
    tax = sum((part.tax for part in bill.by_rate.values()), Decimal(0))
    assert tax == sum((due.tax for due in dues), Decimal(0))
    amounts = sum((one.line.amount for one in bill.lines), Decimal(0))
    assert bill.total == amounts + (tax if on_top else 0)
    assert bill.total == sum((part.net + part.tax for part in bill.by_rate.values()), Decimal(0))
    assert len({(one.name, one.line.price, one.line.tax) for one in bill.lines}) == len(bill.lines)
