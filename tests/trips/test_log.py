"""The log of travel on paper and as a table.

What it holds for each use: date, miles, business purpose, destination, and the total of the year:
Treas. Reg. 1.274-5T(b)(6), Pub 463 Table 5-1 (published, from Tax Court opinions that restate it;
destination from memory). Amounts: rates of the book, whose sources are in miles.json.
"""

import csv
import io
from typing import Any

import pytest
from django.test import Client as Browser
from pypdf import PdfReader

from heelwright.tenancy.models import Practice
from tests.trips.test_travel import car, told
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def leg(tenths: int | None, **more: Any) -> dict[str, Any]:
    usual = {"start": "Home", "end": "1 Elm Road", "purpose": "client", "words": ""}
    return usual | {"estimated_m": None, "tenths": tenths, "known": "typed"} | more


def asked(hand: Hand, first: str, last: str, form: str = "csv") -> Any:
    headers = {"Authorization": f"Bearer {hand.token}"}
    query = {"from": first, "to": last, "form": form}
    return Browser().get("/api/documents/mileage_log", query, headers=headers)


def rows(hand: Hand, first: str, last: str) -> list[dict[str, str]]:
    answer = asked(hand, first, last)
    assert answer.status_code == 200, answer.content
    return list(csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig"))))


def words_of(content: bytes) -> str:
    pages = PdfReader(io.BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def taxed_in(world: World, place: str) -> None:
    Practice.objects.filter(pk=world.owner.staff.practice_id).update(place=place)


def on(hand: Hand, day: str, vehicle: str, *legs: dict[str, Any], **more: Any) -> str:
    return told(hand, vehicle, legs=list(legs), **(more | {"day": day}))


def test_each_way_tells_what_a_tax_office_asks_for(world: World) -> None:
    taxed_in(world, "us")
    hand = world.technician
    on(hand, "2026-03-02", car(hand), leg(100), leg(50, purpose="supplies", words="Gloves"))
    first, second = rows(hand, "2026-01-01", "2026-12-31")
    assert first["Day"] == "2026-03-02"
    assert (first["From"], first["To"]) == ("Home", "1 Elm Road")
    assert (first["Purpose"], second["Purpose"]) == ("Client", "Supplies: Gloves")
    assert (first["Distance"], first["Known by"]) == ("10.0 mile", "Entered by hand")
    assert (first["Odometer start"], first["Odometer end"]) == ("41230.0", "41242.5")
    assert first["Vehicle"] == "Blue estate (INV 3NT)"
    assert first["Driver"] == hand.staff.name
    assert (first["Rate"], first["Amount"]) == ("0.725", "7.25")
    assert first["Written down"].startswith(f"{hand.now:%Y-%m-%d}")


def test_an_estimate_stands_there_without_an_amount(world: World) -> None:
    taxed_in(world, "us")
    hand = world.technician
    on(hand, "2026-03-02", car(hand), leg(100, known="estimate"), leg(None, known="typed"))
    first, second = rows(hand, "2026-03-01", "2026-03-31")
    assert (first["Known by"], first["Amount"]) == ("Estimate, not claimed", "")
    assert (second["Distance"], second["Amount"]) == ("not told", "")


def test_a_span_counts_from_the_start_of_the_tax_year(world: World) -> None:
    """By hand: 10,000 miles at 55p are before the span, so that its 10 miles are at 25p."""
    taxed_in(world, "uk")
    hand, vehicle = world.technician, car(world.technician)
    for n in range(2):
        on(hand, f"2026-04-1{n}", vehicle, leg(50_000))
    on(hand, "2026-06-01", vehicle, leg(100))
    [line] = rows(hand, "2026-06-01", "2026-06-30")
    assert (line["Rate"], line["Amount"]) == ("0.25", "2.50")
    paper = words_of(asked(hand, "2026-06-01", "2026-06-30", "pdf").content)
    assert "Together 5502.50 GBP" in paper
    assert "10000.0 mile at 0.55 GBP a mile" in paper


def test_the_owner_has_everybodys_and_a_technician_their_own(world: World) -> None:
    for hand in (world.technician, world.colleague):
        on(hand, "2026-03-02", car(hand), leg(100))
    names = {world.technician.staff.name, world.colleague.staff.name}
    span = ("2026-03-01", "2026-03-31")
    assert {row["Driver"] for row in rows(world.owner, *span)} == names
    assert {row["Driver"] for row in rows(world.colleague, *span)} == {world.colleague.staff.name}
    assert rows(world.stranger, *span) == []
    assert asked(world.coordinator, *span).status_code == 404


def test_what_was_corrected_is_told_once(world: World) -> None:
    taxed_in(world, "us")
    hand, vehicle = world.technician, car(world.technician)
    first = on(hand, "2026-03-02", vehicle, leg(100))
    on(hand, "2026-03-02", vehicle, leg(200), replaces=[first])
    [row] = rows(hand, "2026-03-01", "2026-03-31")
    assert (row["Amount"], row["Written down"].endswith("(corrected)")) == ("14.50", True)


def test_a_day_that_two_phones_told_says_so(world: World) -> None:
    taxed_in(world, "us")
    hand, vehicle = world.technician, car(world.technician)
    for _ in range(2):
        on(hand, "2026-03-02", vehicle, leg(100))
    told_of = rows(hand, "2026-03-01", "2026-03-31")
    assert [(row["Known by"], row["Amount"]) for row in told_of] == [
        ("Told twice, not claimed", "")
    ] * 2


def test_a_practice_of_no_known_place_has_distances_alone(world: World) -> None:
    hand = world.technician
    on(hand, "2026-03-02", car(hand, unit="km"), leg(100))
    [row] = rows(hand, "2026-03-01", "2026-03-31")
    assert (row["Distance"], row["Rate"], row["Amount"]) == ("10.0 km", "", "")
    answer = asked(hand, "2026-03-01", "2026-03-31", "pdf")
    assert "Nothing" not in words_of(answer.content)


def test_a_vehicle_has_its_whole_year(world: World) -> None:
    """By hand: 12.5 on the odometer, of which 10.0 for work and 1.0 to work were told. That a tax
    office asks for them: IRS Form 4562 Part V, from memory."""
    taxed_in(world, "us")
    hand = world.technician
    on(hand, "2026-03-02", car(hand), leg(100), leg(10, purpose="commute"))
    paper = words_of(asked(hand, "2026-03-01", "2026-03-31", "pdf").content)
    assert "Vehicles in the tax year from 1 January 2026" in paper
    told_of = "10.0 mile 1.0 mile 0.0 mile 0.0 mile 41230.0 41242.5 1.5 mile"
    assert f"{hand.staff.name} {told_of}" in paper
