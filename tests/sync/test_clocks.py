"""A clock that is off by days costs no work and gains nothing (invariant 16 of docs/sync.md).
Check: our own rule."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from heelwright.commandlog import device_clock
from heelwright.commandlog.models import Incident
from heelwright.intake.models import HealthScreen
from heelwright.visits.models import Visit
from tests.factories import (
    booking_args,
    check_args,
    client_args,
    consent_args,
    done_args,
    ident,
    screen_args,
    visit_args,
)
from tests.world import World

OFF = [timedelta(days=9), timedelta(hours=1), timedelta(days=-9), timedelta(days=-2000)]


def codes(world: World) -> list[str]:
    told = Incident.objects.filter(practice=world.practice, code__startswith="clock_")
    return sorted(told.values_list("code", flat=True))


@pytest.mark.parametrize("off", OFF)
def test_permissions_and_reports_are_taken_whatever_the_clock_says(
    world: World, off: timedelta
) -> None:
    hand, claimed = world.technician, world.technician.now + off
    hand.do("register_client", client_args(), at=claimed)
    screen = screen_args(client=world.client, screened_at=claimed.isoformat())
    hand.do("record_screen", screen, at=claimed)
    assert codes(world) == ["clock_ahead" if off > timedelta() else "clock_set_back"]


def test_a_clock_of_1900_is_told_to_the_owner(world: World) -> None:
    world.technician.do("register_client", client_args(), at=datetime(1900, 1, 1, tzinfo=UTC))
    assert codes(world) == ["clock_set_back"]


def test_a_clock_that_has_lost_its_time_costs_no_work(world: World) -> None:
    """It began anew at 1970, as clocks do. What it says counts by how long ago it was when told."""
    hand, began = world.technician, datetime(1970, 1, 1, tzinfo=UTC)
    start = visit_args(
        client=world.client,
        booking=hand.book(world.client),
        screen=ident(),
        check=ident(),
        consent=ident(),
        started_at=(began + timedelta(minutes=5)).isoformat(),
    )
    by_it = began.isoformat()
    about = {"client": world.client}
    told = {
        "record_screen": screen_args(**about, screen=start["screen"], screened_at=by_it),
        "record_foot_check": check_args(
            **about, check=start["check"], screen=start["screen"], checked_at=by_it
        ),
        "sign_consent": consent_args(**about, consent=start["consent"], signed_at=by_it),
        "start_visit": start,
        "complete_visit": done_args(**start, ended_at=(began + timedelta(minutes=45)).isoformat()),
    }
    at = began + timedelta(minutes=45)
    receipts = hand.later(hours=2).deliver(
        *(hand.envelope(name, args, at=at) for name, args in told.items())
    )
    assert {receipt.status for receipt in receipts} == {"applied"}
    visit = Visit.objects.get(pk=start["visit"])
    assert (visit.state, visit.ended_at) == ("completed", hand.now)
    assert visit.started_at == hand.now - timedelta(minutes=40)
    screen = HealthScreen.objects.get(pk=start["screen"])
    assert screen.screened_at == hand.now - timedelta(minutes=45)
    assert codes(world) == ["clock_set_back"]


def test_what_no_clock_says_is_refused(world: World) -> None:
    hand = world.technician
    for year in (1900, 1969):
        long_ago = screen_args(client=world.client, screened_at=f"{year}-12-31T12:00:00Z")
        assert hand.no("record_screen", long_ago) == "date_too_early"
    booked = booking_args(client=world.client, staff=hand.id, starts_at="2019-05-01T12:00:00Z")
    assert hand.no("book_visit", booked, at=datetime(2019, 5, 1, tzinfo=UTC)) == "date_too_early"


FIRST, LAST = (
    clock.replace(tzinfo=None) for clock in (device_clock.CLOCKS_BEGIN, device_clock.LATEST)
)
times = st.datetimes(FIRST, LAST, timezones=st.just(UTC))


@given(times, times, times)
def test_whatever_a_clock_says_it_counts_as_of_our_time(
    claimed: datetime, made_at: datetime, received_at: datetime
) -> None:
    assume(received_at >= device_clock.EARLIEST)
    told = device_clock.Telling(made_at, received_at)
    assert told.counted >= device_clock.EARLIEST
    assert told.reckoned(claimed) >= device_clock.EARLIEST
    if claimed >= device_clock.EARLIEST:
        assert told.reckoned(claimed) == claimed


def test_the_owner_is_told_once_until_somebody_has_looked(world: World) -> None:
    hand, ahead = world.technician, world.technician.now + timedelta(days=3)
    for _ in range(3):
        hand.do("register_client", client_args(), at=ahead)
    assert codes(world) == ["clock_ahead"]
    (told,) = Incident.objects.filter(practice=world.practice, code="clock_ahead")
    world.owner.do("close_incident", {"incident": str(told.pk), "note": "Set right."})
    hand.do("register_client", client_args(), at=ahead)
    assert codes(world) == ["clock_ahead", "clock_ahead"]


def test_another_device_of_the_same_person_is_told_of_by_itself(world: World) -> None:
    ahead = world.owner.now + timedelta(days=3)
    for hand in (world.technician, world.colleague):
        hand.do("register_client", client_args(), at=ahead)
    assert codes(world) == ["clock_ahead", "clock_ahead"]


def test_what_a_time_ahead_would_grant_counts_from_the_receipt() -> None:
    now = datetime(2026, 5, 1, 12, tzinfo=UTC)
    assert device_clock.by_now(now + timedelta(days=3), now) == now
    assert device_clock.by_now(now - timedelta(days=3), now) == now - timedelta(days=3)


def test_an_incident_closed_by_a_fast_clock_is_not_closed_in_the_future(world: World) -> None:
    hand = world.technician
    hand.do("register_client", client_args(), at=hand.now + timedelta(days=3))
    (told,) = Incident.objects.filter(practice=world.practice, code="clock_ahead")
    ahead = world.owner.now + timedelta(days=2)
    world.owner.do("close_incident", {"incident": str(told.pk), "note": "Seen."}, at=ahead)
    told.refresh_from_db()
    assert told.closed_at == world.owner.now


def test_the_reply_says_what_time_it_is(world: World) -> None:
    assert world.technician.pull().now == world.technician.now
