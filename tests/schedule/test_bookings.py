"""Bookings: no technician in two places, nobody's change undone, nothing done twice."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest

from heelwright.commandlog.models import Incident, LoggedArgs
from heelwright.people.models import Client
from heelwright.schedule.models import Booking
from tests.factories import booking_args, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World


@pytest.mark.parametrize(
    ("offset", "minutes", "free"),
    [(-45, 45, True), (-44, 45, False), (0, 45, False), (10, 5, False), (44, 45, False),
     (45, 45, True), (-60, 240, False)],
)  # fmt: skip
def test_a_technician_is_in_one_place(world: World, offset: int, minutes: int, free: bool) -> None:
    technician = world.technician
    technician.book(world.client, starts_at=technician.stamp(days=1))
    args = booking_args(
        client=world.resident,
        staff=technician.id,
        starts_at=technician.stamp(days=1, minutes=offset),
        minutes=minutes,
    )
    if free:
        world.coordinator.do("book_visit", args)
        return
    refusal = world.coordinator.send("book_visit", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("double_booked", "starts_at")
    assert not Booking.objects.filter(pk=args["booking"]).exists()


def test_a_double_booking_names_both_times_and_the_other_booking(world: World) -> None:
    """In the practice's zone: in July London is an hour ahead of UTC (IANA zone database)."""
    technician = world.technician
    stands = technician.book(world.client, starts_at="2027-07-01T09:00:00Z")
    args = booking_args(
        client=world.resident, staff=technician.id, starts_at="2027-07-01T09:30:00Z", minutes=20
    )
    refusal = world.coordinator.send("book_visit", args).refusal
    assert refusal is not None
    assert "from 10:30 to 10:50 on 1 July 2027" in refusal.text
    assert "from 10:00 to 10:45 on 1 July 2027" in refusal.text
    assert refusal.about is not None
    assert (refusal.about.kind, str(refusal.about.id)) == ("booking", stands)
    for name in (Client.objects.get(pk=world.client).name, technician.staff.name):
        assert name not in refusal.model_dump_json()


@pytest.mark.parametrize("made", [{"days": -3}, {}], ids=["sent late", "for a time gone by"])
def test_a_booking_is_taken_whatever_its_hour(world: World, made: dict[str, float]) -> None:
    """The phone asks whether a past time is meant; the server refuses no booking for its hour, as
    one that was made in time may arrive days later. Check: our own rule, decision 0166."""
    technician = world.technician
    starts_at = technician.stamp(days=-2)
    args = booking_args(client=world.client, staff=technician.id, starts_at=starts_at)
    technician.do("book_visit", args, at=technician.now + timedelta(**made))
    booking = Booking.objects.get(pk=args["booking"])
    assert (booking.state, booking.starts_at) == ("booked", datetime.fromisoformat(starts_at))


def test_a_cancelled_booking_leaves_the_hour_free(world: World) -> None:
    technician = world.technician
    first = technician.book(world.client)
    technician.do("cancel_booking", {"booking": first, "seen": 10_000, "reason": "Ill"})
    technician.book(world.resident)
    assert (
        technician.no("cancel_booking", {"booking": first, "seen": 10_000, "reason": "Again"})
        == "booking_closed"
    )


def test_two_technicians_may_work_at_one_hour(world: World) -> None:
    world.technician.book(world.client)
    world.owner.book(world.client)


def test_a_move_onto_another_visit_and_onto_itself(world: World) -> None:
    technician = world.technician
    technician.book(world.client)
    second = technician.book(world.client, starts_at=technician.stamp(hours=2))
    move = {"booking": second, "seen": 10_000, "minutes": 45, "staff": technician.id}
    assert (
        technician.no("move_booking", {**move, "starts_at": technician.stamp(minutes=30)})
        == "double_booked"
    )
    technician.do("move_booking", {**move, "starts_at": technician.stamp(hours=2, minutes=10)})


def test_a_booking_moved_by_somebody_else_since(world: World) -> None:
    technician, owner = world.technician, world.owner
    booking = technician.book(world.client)
    seen = next(row for (kind, _), row in fresh(technician).rows.items() if kind == "booking")[1]
    move = {"booking": booking, "seen": seen, "minutes": 30, "staff": technician.id}
    owner.do("move_booking", {**move, "starts_at": owner.stamp(days=1)})
    refusal = technician.send(
        "cancel_booking", {"booking": booking, "seen": seen, "reason": ""}
    ).refusal
    assert refusal is not None
    assert refusal.code == "changed_elsewhere"
    assert refusal.about is not None
    assert (refusal.about.kind, str(refusal.about.id)) == ("booking", booking)
    again = next(row for (kind, _), row in fresh(technician).rows.items() if kind == "booking")[1]
    technician.do("cancel_booking", {"booking": booking, "seen": again, "reason": ""})


def test_ones_own_change_is_never_news(world: World) -> None:
    """Two changes made without signal name the version that was seen before both."""
    technician = world.technician
    booking = technician.book(world.client)
    seen = next(row for (kind, _), row in fresh(technician).rows.items() if kind == "booking")[1]
    move = {"booking": booking, "seen": seen, "minutes": 30, "staff": technician.id}
    technician.do("move_booking", {**move, "starts_at": technician.stamp(days=1)})
    technician.do("move_booking", {**move, "starts_at": technician.stamp(days=2)})


def test_who_is_booked_gets_the_client_and_everyone_is_told(world: World) -> None:
    before = fresh(world.technician)
    world.owner.do(
        "book_visit",
        booking_args(
            client=world.client, staff=world.colleague.id, starts_at=world.owner.stamp(days=1)
        ),
    )
    assert {str(id_) for id_ in fresh(world.colleague).of("client")} == {world.client}
    assert before.sync().rows == fresh(world.technician).rows


def test_a_coordinator_makes_no_visits(world: World) -> None:
    args = booking_args(
        client=world.resident, staff=world.coordinator.id, starts_at=world.owner.stamp()
    )
    assert world.coordinator.no("book_visit", args) == "not_a_technician"


def test_a_booking_at_the_end_of_time(world: World) -> None:
    technician = world.technician
    args = booking_args(client=world.client, staff=technician.id)
    for starts_at in ("9999-12-31T23:59:00Z", "9999-12-31T23:59:00-12:00", "2100-01-01T00:00:00Z"):
        assert technician.no("book_visit", {**args, "starts_at": starts_at}) == "date_too_late"
    assert technician.no("book_visit", {**args, "starts_at": "0001-01-01T00:00:00+12:00"}) == (
        "date_too_early"
    )


def test_a_done_or_unknown_booking_is_not_moved(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("complete_visit", technician.done(start))
    move = {"seen": 10_000, "starts_at": technician.stamp(), "minutes": 30, "staff": technician.id}
    assert technician.no("move_booking", {**move, "booking": start["booking"]}) == "booking_closed"
    assert technician.no("move_booking", {**move, "booking": ident()}) == "not_found"


def _arranged(hand: Hand, *visits: dict[str, Any]) -> dict[str, Any]:
    return {"visits": [{"staff": hand.id, **visit} for visit in visits]}


def _stands(booking: str, client: str, **more: Any) -> dict[str, Any]:
    return booking_args(booking=booking, client=client, seen=10_000, **more)


def test_two_visits_change_places(world: World) -> None:
    """Judged one by one, either would be in the other's way."""
    technician = world.technician
    early, late = technician.stamp(days=1), technician.stamp(days=1, minutes=45)
    one = technician.book(world.client, starts_at=early)
    other = technician.book(world.resident, starts_at=late)
    swapped = _arranged(
        technician,
        _stands(one, world.client, starts_at=late, staff=technician.id, service="nails"),
        _stands(other, world.resident, starts_at=early, staff=technician.id),
    )
    technician.do("arrange_visits", swapped)
    stand = {str(b.pk): b for b in Booking.objects.all()}
    assert stand[one].starts_at == datetime.fromisoformat(late)
    assert stand[other].starts_at == datetime.fromisoformat(early)
    assert stand[one].service == "nails"


@pytest.mark.parametrize("minutes", [44, 45])
def test_of_visits_that_are_arranged_all_or_none_stand(world: World, minutes: int) -> None:
    """In each other's way, or in that of a third that stays: with nothing saved."""
    technician = world.technician
    start = technician.stamp(days=1)
    visits = [
        booking_args(client=client, staff=technician.id, starts_at=at)
        for client, at in (
            (world.client, start),
            (world.resident, technician.stamp(days=1, minutes=minutes)),
        )
    ]
    asked = {"visits": visits}
    if minutes == 45:
        technician.book(world.client, starts_at=technician.stamp(days=1, minutes=60))
    before = Booking.objects.count()
    assert technician.no("arrange_visits", asked) == "double_booked"
    assert Booking.objects.count() == before


def test_what_is_arranged_is_told_and_kept_from_whom_it_is_not_for(world: World) -> None:
    technician = world.technician
    watching = fresh(world.coordinator)
    visits = [
        booking_args(client=client, staff=technician.id, starts_at=technician.stamp(days=days))
        for days, client in enumerate((world.client, world.resident), start=1)
    ]
    receipt = technician.do("arrange_visits", {"visits": visits})
    assert watching.sync().rows == fresh(world.coordinator).rows
    # Of several clients: under the practice's key, since one client's would not be all of theirs.
    log = LoggedArgs.objects.get(command_id=receipt.id)
    assert log.subject == world.practice.pk


@pytest.mark.parametrize("slip", ["twice", "other client", "stale", "closed", "away"])
def test_a_slip_in_what_is_arranged_is_named(world: World, slip: str) -> None:
    technician = world.technician
    booking = technician.book(world.client)
    visit = _stands(booking, world.client, starts_at=technician.stamp(days=1), staff=technician.id)
    visits = [visit]
    if slip == "twice":
        visits = [visit, visit]
    if slip == "other client":
        visits = [{**visit, "client": world.resident}]
    if slip == "stale":
        visits = [{**visit, "seen": 0}]
        world.owner.do(
            "move_booking",
            {k: visit[k] for k in ("booking", "starts_at", "minutes", "staff")} | {"seen": 10_000},
        )
    if slip == "closed":
        technician.do("cancel_booking", {"booking": booking, "seen": 10_000})
    if slip == "away":
        changes = {"status": "in_hospital", "status_since": technician.day()}
        technician.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})
    assert (
        technician.no("arrange_visits", {"visits": visits})
        == {
            "twice": "named_twice",
            "other client": "wrong_client",
            "stale": "changed_elsewhere",
            "closed": "booking_closed",
            "away": "client_away",
        }[slip]
    )


def test_who_was_not_seen_and_why(world: World) -> None:
    """Kept sealed; the coordinator gets the code, and not what was said of it."""
    technician = world.technician
    booking = technician.book(world.resident)
    told = {"booking": booking, "code": "asleep", "reason": "Slept badly, says the night nurse"}
    technician.do("record_not_seen", told)
    row = fresh(technician).of("booking")[UUID(booking)]
    assert (row["state"], row["reason"]) == ("not_seen", "asleep")
    assert row["cancel_reason"] == told["reason"]
    theirs = fresh(world.coordinator).of("booking")[UUID(booking)]
    assert (theirs["state"], theirs["reason"]) == ("not_seen", "asleep")
    assert "cancel_reason" not in theirs
    technician.book(world.client)


def test_not_seen_after_it_was_cancelled_elsewhere_is_kept(world: World) -> None:
    """A report: the way was made."""
    technician = world.technician
    booking = technician.book(world.client)
    world.owner.do("cancel_booking", {"booking": booking, "seen": 10_000, "code": "mistake"})
    technician.do("record_not_seen", {"booking": booking, "code": "not_in"})
    assert Booking.objects.get(pk=booking).state == "not_seen"


def test_not_seen_of_a_visit_that_was_made_is_for_the_owner_to_look_at(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("complete_visit", technician.done(start))
    told = {"booking": start["booking"], "code": "not_in"}
    receipt = technician.do("record_not_seen", told)
    assert Booking.objects.get(pk=start["booking"]).state == "done"
    codes = Incident.objects.filter(command=receipt.id).values_list("code", flat=True)
    assert list(codes) == ["not_seen_but_done"]


@pytest.mark.parametrize("code", ["", "not_in"])
def test_a_code_is_one_of_those_that_there_are(world: World, code: str) -> None:
    """An app of before sends none when it cancels; a report of its own needs one."""
    technician = world.technician
    booking = technician.book(world.client)
    cancelled = technician.send(
        "cancel_booking", {"booking": booking, "seen": 10_000, "code": code}
    )
    assert (cancelled.status == "applied") == (code == "")
    assert technician.no("record_not_seen", {"booking": booking, "code": "died"}) == "wrong_type"
