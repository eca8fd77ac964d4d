"""A clock that is off by days costs no work and gains nothing (invariant 16 of docs/sync.md).
Check: our own rule."""

from datetime import UTC, datetime, timedelta

import pytest

from heelwright.commandlog import device_clock
from heelwright.commandlog.models import Incident
from tests.factories import client_args, screen_args
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
