"""Visits that repeat, booked and called off together. Check: our own rule; 2027-01-05 is a Tuesday
(Gregorian calendar), and London is an hour ahead of UTC from 2027-03-28 on (IANA)."""

from datetime import date
from typing import Any
from uuid import UUID

import pytest

from heelwright.schedule.models import Booking
from tests.factories import ident, series_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def series(hand: Hand, client: str, **more: Any) -> dict[str, Any]:
    return series_args(**{"client": client, "staff": hand.id, **more})


def test_each_visit_stands_at_the_time_of_the_wall(world: World) -> None:
    technician = world.technician
    args = series(technician, world.client, rule="FREQ=WEEKLY;INTERVAL=6;BYDAY=TU;COUNT=3")
    technician.do("book_series", args)
    rows = Booking.objects.order_by("starts_at")
    starts = [f"{row.starts_at:%m-%d %H:%M}" for row in rows]
    assert starts == ["01-05 10:00", "02-16 10:00", "03-30 09:00"]
    assert {str(row.series) for row in rows} == {args["series"]}
    assert len(fresh(technician).of("booking")) == 3


@pytest.mark.parametrize("slip", ["an hour off", "one missing", "another id", "one twice"])
def test_other_visits_than_the_rule_makes_are_refused(world: World, slip: str) -> None:
    technician = world.technician
    args = series(technician, world.client)
    visits = args["visits"]
    if slip == "an hour off":
        visits[1]["starts_at"] = "2027-01-12T11:00:00+00:00"
    if slip == "one missing":
        visits.pop()
    if slip == "another id":
        visits[0]["booking"] = ident()
    if slip == "one twice":
        visits.append(visits[0])
    refusal = technician.send("book_series", args).refusal
    assert refusal and refusal.code == "other_days"
    assert " January 2027." in refusal.text
    assert not Booking.objects.exists()


@pytest.mark.parametrize(
    ("rule", "code"),
    [
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=WE;COUNT=3", "not_first"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;COUNT=61", "too_many"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;UNTIL=20271399", "no_rule"),
        ("FREQ=DAILY;INTERVAL=1;COUNT=3", "wrong_type"),
    ],
)
def test_a_rule_that_is_none_is_refused(world: World, rule: str, code: str) -> None:
    technician = world.technician
    args = series(technician, world.client) | {"rule": rule}
    refusal = technician.send("book_series", args).refusal
    assert refusal is not None
    assert refusal.field == "rule"
    if code != "wrong_type":
        assert refusal.code == code


@pytest.mark.parametrize("first", ["0001-01-01", "9999-12-26"])
def test_days_that_no_calendar_reaches_are_refused(world: World, first: str) -> None:
    technician = world.technician
    args = series(technician, world.client) | {"first": first}
    for rule in ("FREQ=WEEKLY;INTERVAL=99;BYDAY=SU,MO;COUNT=60", args["rule"]):
        refusal = technician.send("book_series", args | {"rule": rule}).refusal
        assert refusal is not None
        assert (refusal.code[:9], refusal.field) == ("date_too_", "first")


def test_a_clash_names_its_day_and_can_be_left_out(world: World) -> None:
    technician = world.technician
    technician.book(world.resident, starts_at="2027-01-12T10:30:00Z")
    off = {"time_off": ident(), "staff": technician.id, "first": "2027-01-19", "last": "2027-01-19"}
    technician.do("add_time_off", off)
    args = series(technician, world.client)
    refusal = technician.send("book_series", args).refusal
    assert refusal is not None
    assert refusal.code == "double_booked"
    assert "12 January 2027" in refusal.text
    args = series(technician, world.client, left_out=[date(2027, 1, 12)])
    refusal = technician.send("book_series", args).refusal
    assert refusal is not None
    assert refusal.code == "day_off"
    assert "19 January 2027" in refusal.text
    assert not Booking.objects.filter(client_id=UUID(world.client)).exists()
    technician.do("book_series", {**args, "meant": ["day_off"]})
    assert Booking.objects.filter(client_id=UUID(world.client)).count() == 2


def test_one_and_all_later_are_called_off_together(world: World) -> None:
    technician = world.technician
    args = series(technician, world.client)
    technician.do("book_series", args)
    later = [{"booking": visit["booking"], "seen": 10_000} for visit in args["visits"][1:]]
    told = {"series": args["series"], "visits": later, "code": "moved_away"}
    assert technician.no("cancel_series", {**told, "series": ident()}) == "other_series"
    technician.do("cancel_series", told)
    stand = {str(row.pk): row.state for row in Booking.objects.all()}
    assert [stand[visit["booking"]] for visit in args["visits"]] == [
        "booked",
        "cancelled",
        "cancelled",
    ]
    assert technician.no("cancel_series", told) == "booking_closed"


def test_one_that_somebody_moved_keeps_all_from_being_called_off(world: World) -> None:
    technician = world.technician
    args = series(technician, world.client)
    technician.do("book_series", args)
    held = fresh(technician).rows.items()
    seen = {str(id_): row[1] for (kind, id_), row in held if kind == "booking"}
    first = args["visits"][0]["booking"]
    moved = {"booking": first, "seen": 10_000, "minutes": 45, "staff": technician.id}
    world.owner.do("move_booking", {**moved, "starts_at": "2027-01-05T12:00:00Z"})
    visits = [
        {"booking": visit["booking"], "seen": seen[visit["booking"]]} for visit in args["visits"]
    ]
    told = {"series": args["series"], "visits": visits, "code": "client_asked"}
    assert technician.no("cancel_series", told) == "changed_elsewhere"
    assert set(Booking.objects.values_list("state", flat=True)) == {"booked"}
