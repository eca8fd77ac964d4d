"""What was taken, for an accountant: on paper and as a table. Sums by hand; what it must hold is
common practice, no source."""

import csv
import io
from typing import Any

import pytest
from django.test import Client as Browser
from pypdf import PdfReader

from heelwright.tenancy.models import Practice
from tests.factories import payment_args, sale_args
from tests.takings.test_sales import sold
from tests.trips.test_log import leg
from tests.trips.test_travel import car, told
from tests.world import Hand, World

pytestmark = pytest.mark.django_db
SPAN = {"from": "2026-03-01", "to": "2026-03-31"}


def asked(hand: Hand, form: str = "csv", **days: str) -> Any:
    headers = {"Authorization": f"Bearer {hand.token}"}
    query = SPAN | days | {"form": form}
    return Browser().get("/api/documents/takings_log", query, headers=headers)


def rows(hand: Hand, **days: str) -> list[dict[str, str]]:
    answer = asked(hand, **days)
    assert answer.status_code == 200, answer.content
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def words(hand: Hand, **days: str) -> str:
    pages = PdfReader(io.BytesIO(asked(hand, "pdf", **days).content)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_each_line_with_its_tax_and_how_it_was_paid(world: World) -> None:
    sold(world.technician, day="2026-03-02", client=world.client)
    product, service = sorted(rows(world.owner), key=lambda row: row["What"])
    assert (service["Day"], service["Name"], service["Total"]) == (
        "2026-03-02",
        "Foot care at home",
        "38.00",
    )
    assert (product["Quantity"], product["Discount"], product["Total"]) == ("2", "1.00", "18.00")
    assert (product["Net"], product["Tax rate"], product["Tax"]) == ("15.00", "20", "3.00")
    assert (product["Paid"], product["Currency"]) == ("Cash", "GBP")
    assert product["Entered by"] == world.technician.staff.name


def test_the_sums_of_the_days(world: World) -> None:
    hand = world.technician
    sold(hand, day="2026-03-02")
    sold(hand, day="2026-03-03", paid="card")
    owed = sold(hand, day="2026-03-04", paid="not_yet")
    hand.do("record_payment", payment_args(sale=owed, day="2026-03-09", amount="6.00"))
    sold(hand, day="2026-04-01")
    found = words(world.owner)
    assert "Bank transfer 6.00 Card 56.00 Cash 56.00 Together 118.00" in found
    assert "2026-03-02 56.00 2026-03-03 56.00 2026-03-09 6.00" in found
    assert "0 % of £114.00 £0.00 20 % of £45.00 £9.00" in found
    assert "Due at present, whatever the days Together £50.00" in found


def test_sums_in_two_currencies_of_one_sign_say_which(world: World) -> None:
    for currency, paid in (("USD", "cash"), ("CAD", "card")):
        sold(world.technician, day="2026-03-02", currency=currency, paid=paid)
    found = words(world.owner)
    assert "Came in, by way, in CAD Card 56.00 Together 56.00" in found
    assert "by rate, in USD 0 % of $38.00 $0.00" in found


def test_no_client_is_named(world: World) -> None:
    name = "Nobody Knowsthis"
    sold(world.technician, day="2026-03-02", client=world.technician.register(name=name))
    assert name not in words(world.owner)
    assert name not in asked(world.owner).content.decode()


def test_what_was_corrected_is_left_out_and_what_stands_twice_is_not_added(world: World) -> None:
    hand = world.technician
    first = sold(hand, day="2026-03-02")
    sold(hand, day="2026-03-02", replaces=[first], paid="card")
    assert {row["Remark"] for row in rows(hand)} == {"Corrected"}
    visit = first
    for _ in range(2):
        sold(hand, day="2026-03-05", visit=visit, paid="cheque")
    told_twice = [row for row in rows(hand) if row["Day"] == "2026-03-05"]
    assert {row["Remark"] for row in told_twice} == {"Entered twice, not added up"}
    assert "Card 56.00 Together 56.00" in words(hand)


def test_a_formula_is_no_formula_in_the_table(world: World) -> None:
    args = sale_args(day="2026-03-02")
    args["lines"][0] |= {"name": "=1+1"}
    world.technician.do("record_sale", args)
    assert "'=1+1" in {row["Name"] for row in rows(world.owner)}


def test_a_technician_has_their_own_and_a_coordinator_none(world: World) -> None:
    sold(world.technician, day="2026-03-02")
    assert len(rows(world.technician)) == 2
    assert rows(world.colleague) == []
    assert asked(world.coordinator).status_code == 404
    assert rows(world.stranger) == []


def test_the_mileage_of_the_days_stands_beside(world: World) -> None:
    """10.0 miles at 0.725: the rate of the book, whose source is in miles.json."""
    Practice.objects.filter(pk=world.owner.staff.practice_id).update(place="us")
    hand = world.technician
    vehicle = car(hand)
    for day in ("2026-03-02", "2026-04-01"):
        told(hand, vehicle, day=day, legs=[leg(100)])
    name = hand.staff.name
    assert f"Travel for work {name}, 10.0 mile 7.25 USD" in words(world.owner)
