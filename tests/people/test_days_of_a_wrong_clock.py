"""A day told by a phone whose clock is ahead costs no work (invariant 16 of docs/sync.md): it
counts as the day on which it was heard of. Check: our own rule."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.commandlog.device_clock import day_told
from heelwright.commandlog.models import Incident
from heelwright.declarations import Refused
from heelwright.intake.models import Clearance
from heelwright.people.models import Client
from tests.factories import clearance_args
from tests.world import World

AHEAD = timedelta(days=4)
moments = st.integers(0, 28_000 * 86_400).map(
    lambda seconds: datetime(2020, 1, 2, tzinfo=UTC) + timedelta(seconds=seconds)
)


def test_a_status_since_a_day_that_lies_ahead(world: World) -> None:
    hand = world.technician
    day = hand.day(days=4)
    changes = {"status": "in_hospital", "status_since": day}
    args = {"client": world.client, "seen": 10_000, "changes": changes}
    receipt = hand.send("amend_client", args, at=hand.now + AHEAD)
    assert receipt.refusal is None
    assert Client.objects.get(pk=world.client).status_since == hand.day()
    assert Incident.objects.filter(command=receipt.id, code="clock_ahead").count() == 1


def test_a_clearance_of_a_day_that_lies_ahead(world: World) -> None:
    hand = world.technician
    day = hand.day(days=4)
    args = clearance_args(client=world.client, given_on=day, expires_on=hand.day(days=90))
    assert hand.send("record_clearance", args, at=hand.now + AHEAD).refusal is None
    assert Clearance.objects.get(pk=args["clearance"]).given_on == hand.now.date()


def test_a_day_that_is_mistyped_is_told(world: World) -> None:
    hand = world.technician
    args = clearance_args(
        client=world.client, given_on=hand.day(days=4), expires_on=hand.day(days=9)
    )
    assert hand.no("record_clearance", args) == "date_too_late"


@given(st.dates(date(2019, 1, 1), date(2099, 12, 31)), moments, moments)
def test_it_is_refused_only_where_it_lies_ahead_by_both_clocks(
    day: date, made_at: datetime, now: datetime
) -> None:
    ahead_by_both = day > (max(made_at, now) + timedelta(days=1)).date()
    if ahead_by_both:
        with pytest.raises(Refused):
            day_told(day, made_at, now, "day")
    else:
        counted = day_told(day, made_at, now, "day")
        assert counted <= (now + timedelta(days=1)).date()
        assert counted in (day, now.date())
