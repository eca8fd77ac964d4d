"""A round with its visits: planned and cancelled as one, closed once each stop has an answer.
Check: our own rule."""

from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from heelwright.schedule.models import Booking, Round
from tests.factories import booking_args, ident
from tests.sync.phone_model import fresh
from tests.world import World


def stop(world: World, client: str, **at: Any) -> dict[str, Any]:
    starts_at = world.owner.stamp(**at)
    return booking_args(client=client, staff=world.technician.id, starts_at=starts_at, minutes=20)


def planned(world: World, *visits: dict[str, Any], **more: Any) -> dict[str, Any]:
    house = {"facility": world.facility, "day": world.owner.day(days=7)}
    return {"round": ident(), **house, "visits": list(visits), **more}


@pytest.fixture
def two(world: World) -> dict[str, Any]:
    other = world.technician.register(facility=world.facility, room="9")
    first, second = stop(world, other, days=7), stop(world, world.resident, days=7, minutes=20)
    return planned(world, first, second, note="By the side door")


def not_seen(world: World, booking: str) -> None:
    told = {"booking": booking, "code": "asleep", "reason": ""}
    world.technician.do("record_not_seen", told)


def on_day(visit: dict[str, Any], days: int) -> str:
    return (datetime.fromisoformat(visit["starts_at"]) + timedelta(days=days - 7)).isoformat()


def moves_out(world: World, client: str) -> None:
    elsewhere = ident()
    world.owner.do("register_facility", {"facility": elsewhere, "name": "House elsewhere"})
    changes = {"client": client, "seen": 10_000, "changes": {"facility": elsewhere}}
    world.owner.do("amend_client", changes)


def test_a_coordinator_plans_a_round_and_those_who_walk_it_get_it(
    world: World, two: dict[str, Any]
) -> None:
    world.coordinator.do("plan_round", two)
    ids = [visit["booking"] for visit in two["visits"]]
    for hand in (world.technician, world.coordinator, world.owner):
        phone = fresh(hand)
        row = next(iter(phone.of("round").values()))
        assert (row["facility"], row["day"], row["state"]) == (
            world.facility,
            two["day"],
            "planned",
        )
        held = {str(one): row for one, row in phone.of("booking").items()}
        stops = [held[one] for one in ids]
        assert [(one["round"], one["place_in_round"]) for one in stops] == [
            (two["round"], 0),
            (two["round"], 1),
        ]
    assert not fresh(world.colleague).of("round")


def test_its_order_is_changed_where_nobody_else_did(world: World, two: dict[str, Any]) -> None:
    coordinator = world.coordinator
    coordinator.do("plan_round", two)
    first, second = two["visits"]
    turned = [
        {**second, "seen": 10_000, "starts_at": first["starts_at"]},
        {**first, "seen": 10_000, "starts_at": second["starts_at"]},
    ]
    late = {**two, "visits": turned, "seen": 0}
    assert world.owner.no("plan_round", late) == "changed_elsewhere"
    coordinator.do("plan_round", {**two, "visits": turned, "seen": 10_000})
    stops = Booking.objects.filter(round=two["round"]).order_by("place_in_round")
    assert [str(one.pk) for one in stops] == [second["booking"], first["booking"]]


def test_it_is_closed_once_every_stop_has_an_answer(world: World, two: dict[str, Any]) -> None:
    world.coordinator.do("plan_round", two)
    close = {"round": two["round"], "seen": 10_000}
    assert world.technician.no("close_round", close) == "stop_open"
    for visit in two["visits"]:
        not_seen(world, visit["booking"])
    assert world.colleague.no("close_round", close) == "not_found"
    world.technician.do("close_round", close)
    kept = Round.objects.get(pk=two["round"])
    assert (kept.state, kept.note) == ("closed", "By the side door")
    assert world.coordinator.no("plan_round", {**two, "seen": 10_000}) == "round_over"


def test_it_is_closed_though_a_stop_is_to_somebody_they_no_longer_have(
    world: World, two: dict[str, Any]
) -> None:
    """The owner has that visit still, and answers it or calls it off."""
    world.coordinator.do("plan_round", two)
    moves_out(world, two["visits"][0]["client"])
    close = {"round": two["round"], "seen": 10_000}
    assert world.coordinator.no("close_round", close) == "stop_open"
    not_seen(world, two["visits"][1]["booking"])
    assert world.owner.no("close_round", close) == "stop_open"
    world.coordinator.do("close_round", close)
    assert Booking.objects.get(pk=two["visits"][0]["booking"]).state == "booked"


def test_a_visit_on_another_day_is_no_stop_of_it_any_more(
    world: World, two: dict[str, Any]
) -> None:
    world.coordinator.do("plan_round", two)
    first, second = (visit["booking"] for visit in two["visits"])
    not_seen(world, first)
    moved = {"booking": second, "seen": 10_000, "starts_at": world.owner.stamp(days=8)}
    world.coordinator.do("move_booking", moved | {"minutes": 20, "staff": world.technician.id})
    world.technician.do("close_round", {"round": two["round"], "seen": 10_000})


def test_it_is_cancelled_with_all_that_stands(world: World, two: dict[str, Any]) -> None:
    world.coordinator.do("plan_round", two)
    first, second = ({"booking": one["booking"], "seen": 10_000} for one in two["visits"])
    args = {"round": two["round"], "seen": 10_000, "code": "technician_away", "stops": [first]}
    assert world.coordinator.no("cancel_round", args) == "stop_open"
    assert set(Booking.objects.values_list("state", flat=True)) == {"booked"}
    world.coordinator.do("cancel_round", {**args, "stops": [first, second]})
    there = Booking.objects.filter(round=two["round"])
    assert [(one.state, one.reason) for one in there] == [("cancelled", "technician_away")] * 2
    assert Round.objects.get().state == "cancelled"


def test_it_is_cancelled_where_somebody_has_moved_out_since(
    world: World, two: dict[str, Any]
) -> None:
    world.coordinator.do("plan_round", two)
    moves_out(world, two["visits"][0]["client"])
    stops = [{"booking": one["booking"], "seen": 10_000} for one in two["visits"]]
    args = {"round": two["round"], "seen": 10_000, "code": "mistake", "stops": stops}
    world.owner.do("cancel_round", args)
    assert set(Booking.objects.values_list("state", flat=True)) == {"cancelled"}


@pytest.mark.parametrize("gone", [{0}, {0, 1}])
def test_a_coordinator_cancels_it_who_no_longer_has_somebody_of_it(
    world: World, two: dict[str, Any], gone: set[int]
) -> None:
    """Their phone was told to forget the visit, so it can't be named. It is not theirs to call off
    either: it may have been moved to where the client lives now."""
    coordinator = world.coordinator
    coordinator.do("plan_round", two)
    for at in gone:
        moves_out(world, two["visits"][at]["client"])
    left = {str(one) for one in fresh(coordinator).of("booking")}
    assert left == {two["visits"][at]["booking"] for at in {0, 1} - gone}
    args = {"round": two["round"], "seen": 10_000, "code": "mistake"}
    if left:
        # Of whom they have they still must have seen it.
        assert coordinator.no("cancel_round", {**args, "stops": []}) == "stop_open"
    stops = [{"booking": one, "seen": 10_000} for one in left]
    coordinator.do("cancel_round", {**args, "stops": stops})
    assert Round.objects.get().state == "cancelled"
    states = {str(one.pk): one.state for one in Booking.objects.all()}
    for at, visit in enumerate(two["visits"]):
        assert states[visit["booking"]] == ("booked" if at in gone else "cancelled")


def test_a_round_goes_to_another_day_with_all_its_stops_or_not_at_all(
    world: World, two: dict[str, Any]
) -> None:
    coordinator = world.coordinator
    coordinator.do("plan_round", two)
    later = [{**one, "seen": 10_000, "starts_at": on_day(one, 8)} for one in two["visits"]]
    moved = {**two, "seen": 10_000, "day": world.owner.day(days=8)}
    for visits in (later[:1], [stop(world, world.resident, days=8, hours=2)]):
        refusal = coordinator.send("plan_round", {**moved, "visits": visits}).refusal
        assert refusal is not None
        assert (refusal.code, refusal.field) == ("stop_left_behind", "visits")
        assert refusal.about is not None
        assert str(refusal.about.id) in {one["booking"] for one in two["visits"]}
        assert str(Round.objects.get().day) == two["day"]
    coordinator.do("plan_round", {**moved, "visits": later})
    assert str(Round.objects.get().day) == moved["day"]
    there = Booking.objects.filter(round=two["round"])
    assert {str(one.starts_at.date()) for one in there} == {moved["day"]}


def test_a_round_that_has_an_answer_stays_on_its_day(world: World, two: dict[str, Any]) -> None:
    world.coordinator.do("plan_round", two)
    first, second = two["visits"]
    not_seen(world, first["booking"])
    later = {**second, "seen": 10_000, "starts_at": on_day(second, 8)}
    moved = {**two, "seen": 10_000, "day": world.owner.day(days=8), "visits": [later]}
    assert world.coordinator.no("plan_round", moved) == "stop_left_behind"


def test_what_was_called_off_keeps_no_round_on_its_day(world: World, two: dict[str, Any]) -> None:
    world.coordinator.do("plan_round", two)
    first, second = two["visits"]
    off = {"booking": first["booking"], "seen": 10_000, "code": "unwell"}
    world.coordinator.do("cancel_booking", off)
    later = {**second, "seen": 10_000, "starts_at": on_day(second, 8)}
    moved = {**two, "seen": 10_000, "day": world.owner.day(days=8), "visits": [later]}
    world.coordinator.do("plan_round", moved)


def test_a_visit_of_another_round_is_not_cancelled_with_this_one(
    world: World, two: dict[str, Any]
) -> None:
    world.coordinator.do("plan_round", two)
    other = planned(world, stop(world, world.resident, days=7, minutes=50))
    world.coordinator.do("plan_round", other)
    stops = [{"booking": one["booking"], "seen": 10_000} for one in other["visits"]]
    args = {"round": two["round"], "seen": 10_000, "code": "mistake", "stops": stops}
    refusal = world.coordinator.send("cancel_round", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("not_a_stop", "stops")


def test_who_lives_elsewhere_and_another_day_are_refused_and_nothing_is_booked(
    world: World,
) -> None:
    here, later = stop(world, world.resident, days=7), stop(world, world.resident, days=8)
    elsewhere = stop(world, world.client, days=7, minutes=40)
    for visits in ([here, elsewhere], [here, later]):
        assert world.owner.no("plan_round", planned(world, *visits)) == "not_a_stop"
    assert not Round.objects.exists()
    assert not Booking.objects.exists()


def test_two_visits_at_one_time_are_refused_here_too(world: World) -> None:
    one, other = stop(world, world.resident, days=7), stop(world, world.resident, days=7)
    assert world.owner.no("plan_round", planned(world, one, other)) == "double_booked"


def test_a_coordinator_is_told_the_time_that_is_taken_and_nothing_else_of_it(
    world: World,
) -> None:
    """In the practice's zone."""
    elsewhere = stop(world, world.client, days=7)
    world.technician.do("book_visit", elsewhere)
    asked = stop(world, world.resident, days=7, minutes=10)
    refusal = world.coordinator.send("plan_round", planned(world, asked)).refusal
    assert refusal is not None
    starts = datetime.fromisoformat(elsewhere["starts_at"]).astimezone(ZoneInfo("Europe/London"))
    mine = starts + timedelta(minutes=10)
    on = f"on {starts.day} {starts:%B %Y}"
    assert refusal.text == (
        f"You asked for a visit from {mine:%H:%M} to {mine + timedelta(minutes=20):%H:%M} {on}. "
        "The technician has another visit "
        f"from {starts:%H:%M} to {starts + timedelta(minutes=20):%H:%M} {on}."
    )
