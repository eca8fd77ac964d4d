"""A server set back to a backup, and then to another one: no receipt of a history that was lost is
believed, and no honest phone is taken for a clone (invariant 13 of docs/sync.md). Check: our own
rule."""

import pytest
from django.db import transaction

from heelwright.commandlog.history import place
from heelwright.commandlog.models import CommandRecord, Redelivery
from heelwright.commandlog.receive import Delivery, receive
from heelwright.commandlog.wire import Envelope
from heelwright.sync.pull import pull
from heelwright.tenancy.models import Practice
from tests.database import everything
from tests.factories import client_args
from tests.sync.http import Wire, told
from tests.sync.test_history import Restored, registrations
from tests.world import Hand, World


def deliver(hand: Hand, sent: list[Envelope], heard: str | None) -> Delivery:
    return receive(hand.device.pk, sent, hand.now, heard)


def numbered(sent: list[Envelope], first: int) -> list[Envelope]:
    return [one.model_copy(update={"seq": seq}) for seq, one in enumerate(sent, start=first)]


def given_up(hand: Hand, sent: list[Envelope], heard: str | None) -> Delivery:
    """Delivered in a history that is then lost."""
    with pytest.raises(Restored), transaction.atomic():
        taken = deliver(hand, sent, heard)
        raise Restored
    hand.device.refresh_from_db()
    return taken


def test_who_heard_of_a_lost_history_is_held_back_and_told(world: World) -> None:
    hand = world.technician
    heard = given_up(hand, registrations(hand, 2), None).heard
    before = everything()
    more = registrations(hand, 1)
    told = deliver(hand, more, heard)
    assert [r.status for r in told.receipts] == ["held_back"]
    assert told.lost
    assert everything() == before
    assert pull(hand.device, None, hand.now, heard).lost
    assert not deliver(hand, numbered(more, told.next_seq), told.heard).lost


@pytest.mark.parametrize("in_between", range(4))
def test_numbers_that_other_commands_took_meanwhile_are_no_clone(
    world: World, in_between: int
) -> None:
    """The second backup knows the device further, as far, or less far than the phone thinks, by
    other commands. All goes again under new numbers: each is done once."""
    hand = world.technician
    first = hand.seq + 1
    kept = registrations(hand, 2)
    heard = given_up(hand, numbered(kept, first), None).heard
    of_second = registrations(hand, in_between)
    deliver(hand, numbered(of_second, first), None)
    told = deliver(hand, numbered(registrations(hand, 1), first + 2), heard)
    assert told.lost
    again = numbered([*of_second, *kept], told.next_seq)
    receipts = deliver(hand, again, told.heard).receipts
    statuses = [r.status for r in receipts]
    assert statuses == ["already_applied"] * in_between + ["applied"] * 2
    assert Redelivery.objects.filter(device=hand.device).count() == in_between
    assert CommandRecord.objects.filter(id__in=[one.id for one in kept]).count() == 2


def test_a_refusal_of_a_lost_history_is_no_longer_believed(world: World) -> None:
    """It changed no row, so that only its own mark tells."""
    hand = world.technician
    refused = hand.envelope("register_client", client_args(name=""))
    heard = given_up(hand, [refused], place(Practice.objects.get(pk=world.practice.pk))).heard
    assert deliver(hand, [], heard).lost


def test_nothing_is_lost_while_the_history_goes_on(world: World) -> None:
    hand, other = world.technician, world.colleague
    heard = deliver(hand, registrations(hand, 1), None).heard
    deliver(other, registrations(other, 2), None)
    assert not deliver(hand, registrations(hand, 1), heard).lost
    assert not pull(hand.device, None, hand.now, heard).lost


def test_another_practices_history_is_nothing_to_this_one(world: World) -> None:
    stranger = world.stranger
    heard = deliver(stranger, registrations(stranger, 1), None).heard
    assert not deliver(world.technician, [], heard).lost


@pytest.mark.parametrize("heard", ["", "x", "1/2/3", 7, "/".join(["0" * 36, "1", "0" * 36])])
def test_what_was_never_said_is_told_by_its_field(world: World, heard: object) -> None:
    wire = Wire(world.technician)
    body = {"protocol": 2, "device": str(world.technician.device.pk), "heard": heard}
    for response in (
        wire.post("/api/push", {**body, "commands": []}),
        wire.post("/api/pull", {**body, "cursor": None}),
    ):
        assert response.status_code == 422
        assert told(response)["field"] == "heard"
