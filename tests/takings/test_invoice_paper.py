"""An invoice as PDF. What must stand on it: Directive 2006/112/EC Art. 226 (1, 2, 3, 5, 6, 7, 8, 9,
10), the United Kingdom's VAT Regulations 1995 reg. 14(1), and A New Tax System (Goods and Services
Tax) Act 1999 (Australia) s 29-70(1), all from memory. Sums by hand."""

from datetime import date
from typing import Any

import pytest
from django.test import Client as Browser

from heelwright.intake.may_read import day_of
from tests.documents.papers import words_of
from tests.takings.test_invoices import issued, owed, void
from tests.takings.test_log import rows
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def paper(hand: Hand, invoice: str) -> Any:
    headers = {"Authorization": f"Bearer {hand.token}"}
    return Browser().get(f"/api/documents/invoice/{invoice}", headers=headers)


def month(world: World, **more: Any) -> list[str]:
    """Two visits on two days: 38.00 without tax, and two of 9.50 less 1.00, with 3.00 in it."""
    return [owed(world, day=day, **more) for day in ("2026-03-02", "2026-03-09")]


PARTICULARS = {
    "that it is a tax invoice: s 29-70(1)(d)": "Tax invoice 118",
    "number, Art. 226(2), reg. 14(1)(a)": "Invoice number 118",
    "date of issue, Art. 226(1), reg. 14(1)(c), s 29-70(1)(c)": "Date of invoice 31 March 2026",
    "seller, Art. 226(5), reg. 14(1)(d)": "Invented Foot Care 3 Made-up Street",
    "seller's tax number, Art. 226(3), reg. 14(1)(d), s 29-70(1)(c)": "Tax number 000 0000 00",
    "buyer, Art. 226(5), reg. 14(1)(e), s 29-70(1)(c)": "Invented House 1 Long Lane",
    "day of supply, Art. 226(7), reg. 14(1)(b)": "Days of service: 2 March 2026, 9 March 2026",
    "quantity, kind, price of one without tax, rate and discount, Art. 226(6, 8, 9),"
    " reg. 14(1)(g, h, m)": "Foot cream 4 7.92 20 % 9.50 2.00 36.00",
    "what is free of tax stands apart": "0 % £76.00 £0.00 £76.00",
    "taxable amount and tax by rate, Art. 226(8, 9, 10), reg. 14(1)(i, l), s 29-70(1)(c)":
        "20 % £30.00 £6.00 £36.00",
    "total, s 29-70(1)(c)": "Total to pay: £112.00",
    "by when, common practice, no source": "To be paid by 30 April 2026",
    "the buyer's own reference, common practice, no source": "Your reference Order 17",
    "how to pay, common practice, no source": "By transfer to account 00000000",
}  # fmt: skip


@pytest.mark.parametrize("particular", PARTICULARS)
def test_what_tax_offices_ask_for(world: World, particular: str) -> None:
    invoice = issued(world, *month(world), day="2026-03-31", first_number=118)
    assert PARTICULARS[particular] in words_of(paper(world.owner, invoice).content)


def test_tax_that_is_added(world: World) -> None:
    found = words_of(paper(world.owner, issued(world, *month(world, tax_on_top=True))).content)
    assert "Foot cream 4 9.50 20 % 9.50 2.00 36.00" in found
    assert "20 % £36.00 £7.20 £43.20" in found
    assert "Total to pay: £119.20" in found


def test_without_tax_it_is_no_tax_invoice(world: World) -> None:
    line = {"item": None, "kind": "service", "name": "Foot care", "quantity": 1, "price": "24.00"}
    sale = owed(world, lines=[line | {"discount": "0.00", "tax": "0"}])
    found = words_of(paper(world.owner, issued(world, sale)).content)
    assert "Invoice 1" in found
    assert "Tax invoice" not in found


def test_it_names_no_resident(world: World) -> None:
    resident = world.technician.register(name="Nobody Knowsthis", facility=str(world.facility))
    invoice = issued(world, owed(world, client=resident))
    assert "Nobody" not in words_of(paper(world.owner, invoice).content)


def test_one_that_is_taken_back_says_so(world: World) -> None:
    invoice = issued(world, owed(world))
    assert "Void" not in words_of(paper(world.owner, invoice).content)
    void(world, invoice)
    found = words_of(paper(world.owner, invoice).content)
    today = day_of(date.fromisoformat(world.owner.day()))
    assert f"Void: cancelled on {today}. Nothing is to be paid on it." in found
    assert "Invoice number 1 " in found


def test_the_owner_alone_gets_it(world: World) -> None:
    invoice = issued(world, owed(world))
    for hand in (world.technician, world.coordinator, world.stranger):
        assert paper(hand, invoice).status_code == 404


def test_the_accountants_table_has_its_number_and_no_line_more(world: World) -> None:
    sales = month(world)
    before = rows(world.owner)
    invoice = issued(world, sales[0], day="2026-03-31", first_number=118)
    after = rows(world.owner)
    assert [row | {"Invoice": ""} for row in after] == before
    assert sorted(row["Invoice"] for row in after) == ["", "", "118", "118"]
    assert {row["Invoice"] for row in rows(world.technician)} == {""}
    void(world, invoice)
    assert rows(world.owner) == before
