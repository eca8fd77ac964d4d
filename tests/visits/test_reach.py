"""How far back a record that comes late may put visits under review, and what that costs.

Check: the project's own rule, docs/decisions/0096-as-it-stood.md.
"""

import copy
from datetime import datetime, timedelta

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from heelwright.tenancy.models import Device
from heelwright.visits import again
from heelwright.visits.models import Visit
from tests.factories import NEEDS_WORD, REFERRED, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of

YEARS = timedelta(days=1100)


def visits(world: World, count: int) -> list[datetime]:
    """When each was: one a week, under one clearance. The owner's phone works in between."""
    technician, times = world.technician, []
    world.cleared = technician.clear(  # type: ignore[attr-defined]
        world.client, expires_on=technician.day(days=366)
    )
    for _ in range(count):
        start = technician.ready(world.client, health=NEEDS_WORD)
        technician.do("start_visit", start)
        times.append(technician.now)
        ended = technician.later(minutes=40).done(start)
        assert technician.do("complete_visit", ended).incidents == []
        technician.later(days=7)
    return times


def withdrawal(world: World, hand: Hand, at: datetime) -> None:
    told = {"clearance": world.cleared, "reason": "No longer"}  # type: ignore[attr-defined]
    hand.do("withdraw_clearance", {**told, "withdrawn_at": at.isoformat()}, at=at)


def under_review() -> int:
    return Visit.objects.filter(state="under_review").count()


def codes(world: World) -> list[str]:
    return sorted(row["code"] for row in fresh(world.owner).of("incident").values())


@pytest.mark.parametrize("what", ["withdraw_clearance", "record_screen"])
def test_a_date_of_years_ago_reaches_no_further_than_the_last_contact(
    world: World, what: str
) -> None:
    """One entry tells of the clock, whatever else that phone dates back."""
    times = visits(world, 3)
    owner = world.owner
    owner.now = times[2] - timedelta(hours=2)
    owner.register()
    owner.now = times[2] + timedelta(days=1)
    for days in (0, 30):
        back = owner.now - YEARS + timedelta(days=days)
        if what == "withdraw_clearance":
            withdrawal(world, owner, back)
        else:
            args = screen_args(
                client=world.client, answers=REFERRED, screened_at=back.isoformat(), seen_screens=[]
            )
            owner.do("record_screen", args, at=back)
    assert under_review() == 1
    assert codes(world) == ["clock_set_back", "visit_of_held_client"]


def test_a_phone_that_was_away_all_the_time_tells_of_all_of_it(world: World) -> None:
    owner, left = world.owner, world.owner.now
    owner.register()
    visits(world, 3)
    owner.now = world.technician.now
    withdrawal(world, owner, left + timedelta(hours=-0.1))
    assert under_review() == 3
    assert codes(world) == ["visit_of_held_client"] * 3


def test_a_phone_signed_in_anew_tells_what_its_persons_other_phone_may_have_held(
    world: World,
) -> None:
    """The phone in the drawer has been silent since the second visit."""
    times = visits(world, 3)
    drawer, used = world.colleague, phone_of(world.colleague.staff, world.now)
    for hand, spoke in ((drawer, times[1] - timedelta(days=1)), (used, world.technician.now)):
        hand.now = spoke
        hand.register()
    new = phone_of(world.colleague.staff, used.now + timedelta(hours=1))
    Device.objects.filter(pk=new.device.pk).update(enrolled_at=new.now)
    withdrawal(world, new, new.now - YEARS)
    assert under_review() == 2


@pytest.mark.parametrize("what", ["visits before", "more visits than are looked at"])
def test_the_work_does_not_grow(world: World, what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """By the number of statements, which are all by an index."""
    monkeypatch.setattr(again, "MOST", 2)
    spent = []
    owner = world.owner
    for count in (3, 4, 6):
        times = visits(world, count)
        owner.now = times[-1 if what == "visits before" else 0] - timedelta(hours=1)
        owner.register()
        owner.now = world.technician.now
        with CaptureQueriesContext(connection) as seen:
            withdrawal(world, owner, times[0] - timedelta(minutes=30))
        spent.append(len(seen))
    # The first one also told of the clock.
    assert spent[1] == spent[2]
    told = codes(world)
    assert told.count("more_visits_to_check") == (0 if what == "visits before" else 3)


def many_late(world: World, screens: int, most: int, monkeypatch: pytest.MonkeyPatch) -> int:
    """The statements of one delivery of so many late screens about so many visits; undone then."""
    monkeypatch.setattr(again, "MOST", most)
    hand = copy.deepcopy(world.colleague)
    late = []
    for number in range(screens):
        at = world.now - timedelta(minutes=5, seconds=-number)
        told = screen_args(client=world.client, screened_at=at.isoformat(), seen_screens=[])
        late.append(hand.envelope("record_screen", told, at=at))
    with transaction.atomic():
        with CaptureQueriesContext(connection) as seen:
            assert {receipt.status for receipt in hand.deliver(*late)} == {"applied"}
        transaction.set_rollback(True)
    return len(seen)


def test_many_late_records_of_one_delivery_are_judged_once(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The work grows with the records and with the visits, not with one times the other."""
    world.technician.do("assign_client", {"client": world.client, "staff": world.colleague.id})
    visits(world, 5)
    world.colleague.now = world.technician.now
    spent = {
        (screens, most): many_late(world, screens, most, monkeypatch)
        for screens in (2, 12)
        for most in (2, 4)
    }
    assert spent[2, 4] > spent[2, 2]
    assert spent[12, 4] - spent[2, 4] == spent[12, 2] - spent[2, 2]
    assert (spent[12, 2] - spent[2, 2]) / 10 < 60


def test_of_more_visits_than_one_delivery_may_reach_one_entry_tells(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(again, "MOST_AT_ONCE", 1)
    owner, left = world.owner, world.owner.now
    owner.register()
    visits(world, 2)
    owner.now = world.technician.now
    withdrawal(world, owner, left + timedelta(hours=-0.1))
    assert under_review() == 1
    assert codes(world) == ["more_visits_to_check", "visit_of_held_client"]
