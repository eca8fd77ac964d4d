"""A start that claims a moment before its client was held, from a phone that knew better or might
have. Check: our own rule, docs/decisions/0096-as-it-stood.md."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from heelwright.commandlog.models import Incident
from heelwright.commandlog.receive import receive
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.tenancy.models import Device
from heelwright.visits.models import Visit
from tests.factories import NEEDS_WORD, REFERRED, check_args, client_args, screen_args
from tests.sync.phone_model import PhoneModel
from tests.world import Hand, World, phone_of


def shared(world: World) -> None:
    world.technician.do("assign_client", {"client": world.client, "staff": world.colleague.id})


def referred(world: World, start: dict[str, Any]) -> None:
    world.colleague.now = world.technician.now
    world.colleague.screen(world.client, REFERRED, seen_screens=[start["screen"]])


def signed_in(hand: Hand) -> Hand:
    new = phone_of(hand.staff, hand.now)
    Device.objects.filter(pk=new.device.pk).update(enrolled_at=hand.now)
    return new


def both(hand: Hand, start: dict[str, Any], began: datetime) -> list[Envelope]:
    """A visit of half an hour, as a phone tells of it."""
    visit = {**start, "started_at": began.isoformat()}
    ended = began + timedelta(minutes=30)
    done = hand.done(visit, ended_at=ended.isoformat())
    return [
        hand.envelope("start_visit", visit, at=began),
        hand.envelope("complete_visit", done, at=ended),
    ]


def fetched_and_sent(hand: Hand, heard: str, envelopes: list[Envelope]) -> list[Receipt]:
    """With what the phone has heard of, as it sends it along."""
    return receive(hand.device.pk, envelopes, hand.now, heard).receipts


def code(receipt: Receipt) -> str | None:
    return receipt.refusal.code if receipt.refusal else None


def reviewed(visit: str) -> set[str]:
    """What is told of a visit that went to review."""
    assert Visit.objects.get(pk=visit).state == "under_review"
    return {incident.code for incident in Incident.objects.filter(about_id=visit)}


def test_a_phone_signed_in_anew_claims_the_past(world: World) -> None:
    """The other phone of its person has spoken since, and a phone that was shut out can't any
    more: so nobody's outbox can be so old."""
    shared(world)
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    technician.later(hours=20).register()
    referred(world, start)
    technician.later(hours=1)
    new = signed_in(technician)
    first, second = new.deliver(*both(new, start, began))
    assert (code(first), second.status) == ("referral_unanswered", "applied")
    assert reviewed(start["visit"]) == {"visit_of_held_client"}


def test_the_first_phone_of_a_person_tells_of_nothing_before_it(world: World) -> None:
    technician, owner = world.technician, world.owner
    start = technician.ready(world.client)
    owner.now = technician.later(hours=20).now
    owner.do("assign_client", {"client": world.client, "staff": world.colleague.id})
    Device.objects.filter(staff=world.colleague.staff).update(enrolled_at=owner.now)
    owner.screen(world.client, REFERRED, seen_screens=[start["screen"]])
    hand = world.colleague
    hand.now = owner.later(hours=1).now
    assert code(hand.deliver(*both(hand, start, world.now))[0]) == "referral_unanswered"


def test_a_phone_signed_in_anew_brings_what_its_persons_silent_phone_held(world: World) -> None:
    """The visit was made without signal, and its outbox moved: it counts as it stood."""
    shared(world)
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    technician.later(hours=2)
    referred(world, start)
    heard = technician.pull().heard
    new = signed_in(technician.later(hours=1))
    receipts = fetched_and_sent(new, heard, both(new, start, began + timedelta(minutes=1)))
    assert [code(receipt) for receipt in receipts] == [None, None]
    assert Visit.objects.get(pk=start["visit"]).state == "completed"


@pytest.mark.parametrize("fetches", [True, False])
def test_a_phone_that_only_fetches(world: World, fetches: bool) -> None:
    """It has the referral; one that has not fetched was without signal, and keeps its claim."""
    shared(world)
    technician = world.technician
    drawer = phone_of(technician.staff, technician.now)
    start = technician.ready(world.client)
    began, before = technician.now + timedelta(minutes=5), drawer.pull().heard
    technician.later(days=2).register()
    referred(world, start)
    drawer.now = technician.later(hours=2).now
    assert PhoneModel(drawer).sync().of("referral")
    heard = drawer.pull().heard if fetches else before
    drawer.later(minutes=1)
    first, second = fetched_and_sent(drawer, heard, both(drawer, start, began))
    assert second.status == "applied"
    if fetches:
        assert code(first) == "referral_unanswered"
        assert reviewed(start["visit"]) == {"visit_of_held_client"}
    else:
        assert code(first) is None
        assert Visit.objects.get(pk=start["visit"]).state == "completed"


def test_what_was_fetched_counts_for_the_later_deliveries_too(world: World) -> None:
    """The first one's answer is what the second one has heard of."""
    shared(world)
    technician = world.technician
    start = technician.ready(world.client)
    began = technician.now
    technician.later(hours=3)
    referred(world, start)
    technician.later(hours=1)
    change = {"client": world.resident, "seen": 10_000, "changes": {"phone": "555 0123"}}
    told = receive(
        technician.device.pk,
        [technician.envelope("amend_client", change)],
        technician.now,
        technician.pull().heard,
    )
    technician.later(minutes=1)
    receipts = fetched_and_sent(technician, told.heard, both(technician, start, began))
    assert code(receipts[0]) == "referral_unanswered"


def test_a_long_outbox_in_several_deliveries_keeps_its_claims(world: World) -> None:
    technician = world.technician
    technician.clear(world.client, expires_on=technician.day(days=1))
    heard = technician.pull().heard
    start = technician.ready(world.client, health=NEEDS_WORD)
    began = technician.now
    technician.later(days=3)
    change = {"client": world.resident, "seen": 10_000, "changes": {"phone": "555 0123"}}
    first = [technician.envelope("amend_client", change, at=began)]
    told = receive(technician.device.pk, first, technician.now, heard)
    technician.later(minutes=1)
    receipts = fetched_and_sent(technician, told.heard, both(technician, start, began))
    assert [code(receipt) for receipt in receipts] == [None, None]


@pytest.mark.parametrize("apart", [True, False])
def test_a_server_that_was_restored_is_told_again_as_it_was(world: World, apart: bool) -> None:
    """The phone has fetched first, and learned that it must: that says nothing of its work's age.
    What the backup had may fill a delivery of its own."""
    technician = world.technician
    start = technician.ready(world.client)
    kept = technician.envelope("register_client", client_args())
    technician.deliver(kept)
    began = technician.now
    world.owner.now = technician.later(days=2).now
    world.owner.register()
    heard = technician.pull().heard
    technician.seq += 1
    again = kept.model_copy(update={"seq": technician.seq})
    lost = both(technician, start, began)
    if apart:
        heard = receive(technician.device.pk, [again], technician.now, heard).heard
        receipts = fetched_and_sent(technician, heard, lost)
    else:
        receipts = fetched_and_sent(technician, heard, [again, *lost])[1:]
    assert [code(receipt) for receipt in receipts] == [None, None]
    assert Visit.objects.get(pk=start["visit"]).state == "completed"


def test_a_clock_that_is_behind_on_a_phone_that_has_fetched(world: World) -> None:
    """All made anew at the door, by a clock three hours behind, before the referral it has."""
    shared(world)
    technician = world.technician
    start = technician.ready(world.client)
    technician.later(hours=20)
    referred(world, start)
    technician.later(hours=2)
    heard = technician.pull().heard
    claimed = technician.later(minutes=30).now - timedelta(hours=3)
    asked = screen_args(client=world.client, screened_at=claimed.isoformat(), seen_screens=[])
    looked = check_args(client=world.client, screen=asked["screen"], checked_at=claimed.isoformat())
    start = {**start, "screen": asked["screen"], "check": looked["check"]}
    made = [
        technician.envelope("record_screen", asked, at=claimed),
        technician.envelope("record_foot_check", looked, at=claimed),
        *both(technician, start, claimed + timedelta(minutes=2)),
    ]
    receipts = fetched_and_sent(technician, heard, made)
    assert code(receipts[2]) == "referral_unanswered"
    assert reviewed(start["visit"]) == {"visit_of_held_client"}
