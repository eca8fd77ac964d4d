"""For which moment a visit's start is judged when a phone's clock is wrong, in both directions.

Check: the project's own rule, docs/decisions/0096-as-it-stood.md.
"""

from datetime import datetime, timedelta
from typing import Any

import pytest

from heelwright.visits.models import Visit
from tests.factories import (
    NEEDS_WORD,
    REFERRED,
    booking_args,
    check_args,
    consent_args,
    ident,
    screen_args,
    visit_args,
)
from tests.sync.phone_model import fresh
from tests.world import World


def judged_at(visit: str) -> datetime:
    return Visit.objects.get(pk=visit).judged_at


def anew(world: World, days: float) -> dict[str, Any]:
    """Everything made anew at the door, by a clock that is off by days."""
    technician = world.technician
    true = technician.now
    technician.now = true + timedelta(days=days)
    start = visit_args(
        client=world.client, booking=ident(), screen=ident(), check=ident(), consent=ident()
    )
    at, stamp = technician.now, technician.stamp()
    told = {
        "book_visit": booking_args(
            booking=start["booking"], client=world.client, staff=technician.id, starts_at=stamp
        ),
        "record_screen": screen_args(
            screen=start["screen"], client=world.client, answers=NEEDS_WORD, screened_at=stamp
        ),
        "record_foot_check": check_args(
            check=start["check"], client=world.client, screen=start["screen"], checked_at=stamp
        ),
        "sign_consent": consent_args(
            consent=start["consent"], client=world.client, signed_at=stamp
        ),
    }
    envelopes = [technician.envelope(name, args, at=at) for name, args in told.items()]
    technician.now = true
    assert {receipt.status for receipt in technician.deliver(*envelopes)} == {"applied"}
    return {**start, "started_at": stamp}


def test_with_a_right_clock_it_is_the_claimed_moment(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(seconds=20).do("start_visit", start)
    assert judged_at(start["visit"]) == technician.now - timedelta(seconds=20)


def test_days_ahead_gives_nothing(world: World) -> None:
    """By its clock the screen is fresh; by the server's it is of yesterday."""
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(hours=25)
    ahead = technician.now + timedelta(days=3)
    late = {**start, "started_at": ahead.isoformat()}
    assert technician.no("start_visit", late, at=ahead) == "screen_not_current"


def test_days_ahead_costs_nothing(world: World) -> None:
    """Everything was made by the one clock that is three days ahead; it counts from now."""
    technician = world.technician
    technician.clear(world.client)
    start = anew(world, days=3)
    ahead = technician.now + timedelta(days=3)
    done = technician.done(start, ended_at=start["started_at"])
    both = [
        technician.envelope("start_visit", start, at=ahead),
        technician.envelope("complete_visit", done, at=ahead),
    ]
    assert [receipt.status for receipt in technician.deliver(*both)] == ["applied", "applied"]
    assert judged_at(start["visit"]) == technician.now
    assert Visit.objects.get(pk=start["visit"]).state == "completed"
    assert {row["code"] for row in fresh(world.owner).of("incident").values()} == {"clock_ahead"}


def test_days_behind_brings_no_ended_clearance_back(world: World) -> None:
    """The server has heard from the phone since the moment that it claims."""
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    technician.later(days=2)
    change = {"client": world.resident, "seen": 10_000, "changes": {"phone": "555 0123"}}
    technician.do("amend_client", change, at=technician.now - timedelta(days=2.5))
    technician.later(days=1)
    start = anew(world, -2.5)
    claimed = datetime.fromisoformat(start["started_at"])
    assert technician.no("start_visit", start, at=claimed) == "screen_not_current"


def test_without_signal_for_days_is_no_clock_behind(world: World) -> None:
    """The same claims, and the server has not heard from the phone since: it was away."""
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    technician.later(days=3)
    start = anew(world, -2.5)
    claimed = datetime.fromisoformat(start["started_at"])
    technician.do("start_visit", start, at=claimed)
    assert judged_at(start["visit"]) == claimed


def test_not_before_what_the_same_phone_recorded_before(world: World) -> None:
    """A start that is dated back does not get behind the screen that held the work."""
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(minutes=8).screen(world.client, REFERRED)
    back = technician.now - timedelta(minutes=5)
    late = {**start, "started_at": back.isoformat()}
    assert technician.no("start_visit", late, at=back) == "referral_unanswered"


@pytest.mark.parametrize("at_once", [True, False])
def test_a_clock_that_is_put_right_in_mid_visit_loses_no_report(
    world: World, at_once: bool
) -> None:
    """It ends before it started. Else nothing is held against it."""
    technician = world.technician
    start = technician.ready(world.client)
    ahead = technician.now + timedelta(hours=2)
    start["started_at"] = ahead.isoformat()
    began = technician.envelope("start_visit", start, at=ahead)
    if at_once:
        technician.deliver(began)
    technician.later(minutes=40)
    done = technician.envelope("complete_visit", technician.done(start))
    receipts = technician.deliver(done) if at_once else technician.deliver(began, done)
    assert {receipt.status for receipt in receipts} == {"applied"}
    visit = Visit.objects.get(pk=start["visit"])
    assert (visit.state, visit.ended_at) == ("under_review", technician.now)
    told = {row["code"]: row["reasons"] for row in fresh(world.owner).of("incident").values()}
    assert told.pop("visit_times_changed") == ["ended_at"]
    assert set(told) == {"clock_ahead", "clock_set_back"}


def test_other_times_than_were_told_at_the_start(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client)
    technician.do("start_visit", start)
    technician.later(minutes=40)
    times = {"started_at": technician.stamp(), "ended_at": technician.stamp(minutes=-20)}
    technician.do("complete_visit", technician.done({**start, **times}, **times))
    told = {row["code"]: row["reasons"] for row in fresh(world.owner).of("incident").values()}
    assert told == {"visit_times_changed": ["started_at", "ended_at"]}
