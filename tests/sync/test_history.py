"""A server that was restored from a backup: a cursor from the lost history resets the rows, and the
devices fill the server again (invariant 13 of docs/sync.md). Check: our own rule."""

import pytest
from django.db import transaction
from hypothesis import given
from hypothesis import strategies as st

from heelwright.commandlog.models import FeedMark
from heelwright.commandlog.wire import Envelope
from heelwright.ids import new_id
from heelwright.sync import pull as pulling
from heelwright.sync.cursor import Cursor
from heelwright.sync.cursor import read as read_cursor
from heelwright.tenancy.models import Practice
from tests.factories import client_args
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World, phone_of


def registrations(hand: Hand, count: int) -> list[Envelope]:
    return [hand.envelope("register_client", client_args()) for _ in range(count)]


class Restored(Exception):
    """Ends the history that is about to be lost."""


def lost(hand: Hand, phone: PhoneModel, sent: list[Envelope]) -> None:
    """Commands that the server takes, the phone fetches, and a restored backup knows nothing of."""
    with pytest.raises(Restored), transaction.atomic():
        hand.deliver(*sent)
        phone.sync()
        raise Restored


def test_every_transaction_that_moves_the_feed_leaves_its_mark(world: World) -> None:
    hand = world.technician
    for sent in (registrations(hand, 3), registrations(hand, 1)):
        hand.deliver(*sent)
        practice = Practice.objects.get(pk=world.practice.pk)
        newest = FeedMark.objects.get(practice=practice, seq=practice.feed_seq)
        assert newest.mark == practice.feed_mark
    phone_of(world.owner.staff, world.now)
    marks = FeedMark.objects.filter(practice=world.practice).values_list("seq", "mark")
    assert len({mark for _, mark in marks}) == len(marks)
    enrolled = Practice.objects.get(pk=world.practice.pk)
    assert (enrolled.feed_seq, enrolled.feed_mark) in set(marks)


def test_a_delivery_leaves_a_mark_where_it_takes_a_number_and_else_none(world: World) -> None:
    """A refusal changes no row, and its receipt is still one of this history."""
    hand = world.technician
    sent = registrations(hand, 1)
    hand.deliver(*sent)
    before = FeedMark.objects.count()
    hand.deliver(*sent)
    assert FeedMark.objects.count() == before
    hand.no("register_client", client_args(name=""))
    assert FeedMark.objects.count() == before + 1


@pytest.mark.parametrize("again", range(4))
def test_a_lost_history_resets_though_its_numbers_are_given_out_anew(
    world: World, again: int
) -> None:
    """Fewer, as many, or more changes than were lost: the same numbers mean other rows now."""
    hand = world.technician
    phone = PhoneModel(world.owner).sync()
    seq = hand.seq
    lost(hand, phone, registrations(hand, 2))
    hand.seq = seq
    hand.deliver(*registrations(hand, again))
    page = world.owner.pull(phone.cursor)
    assert page.reset
    phone.take(page)
    assert phone.sync().rows == fresh(world.owner).rows


def test_a_restored_server_is_filled_again_by_its_devices(world: World) -> None:
    """`next_seq` says how far it knows a device; the device has its commands and sends them."""
    hand = world.technician
    phone = PhoneModel(hand).sync()
    sent = registrations(hand, 3)
    lost(hand, phone, sent)
    before = set(phone.rows)
    page = phone.take(hand.pull(phone.cursor))
    assert page.reset
    kept = [envelope for envelope in sent if envelope.seq >= page.next_seq]
    assert kept == sent
    assert [r.status for r in hand.deliver(*kept)] == ["applied"] * 3
    assert set(phone.sync().rows) == before


def test_a_device_that_saw_nothing_of_the_lost_history_goes_on(world: World) -> None:
    phone, hand = PhoneModel(world.colleague).sync(), world.technician
    seq = hand.seq
    lost(hand, PhoneModel(world.owner), registrations(hand, 2))
    hand.seq = seq
    hand.deliver(*registrations(hand, 1))
    assert not world.colleague.pull(phone.cursor).reset


def test_a_history_lost_between_two_pages_starts_again(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pulling, "PAGE", 3)
    hand, phone = world.technician, PhoneModel(world.owner)
    seq = hand.seq
    with pytest.raises(Restored), transaction.atomic():
        hand.deliver(*registrations(hand, 2))
        assert phone.take(world.owner.pull()).more
        raise Restored
    hand.seq = seq
    hand.deliver(*registrations(hand, 4))
    page = world.owner.pull(phone.cursor)
    assert page.reset
    phone.take(page)
    assert phone.sync().rows == fresh(world.owner).rows


@pytest.mark.parametrize("number", ["done", "upper"])
def test_a_made_up_mark_resets(world: World, number: str) -> None:
    seq = Practice.objects.get(pk=world.practice.pk).feed_seq
    mark = str(new_id())
    cursor = Cursor(seq, mark) if number == "done" else Cursor(upper=seq, upper_mark=mark, place=3)
    assert world.owner.pull(cursor.write()).reset


def test_the_mark_of_another_practice_resets(world: World) -> None:
    assert world.owner.pull(fresh(world.stranger).cursor).reset


numbers = st.integers(min_value=1, max_value=2**53 - 1)


@given(numbers, st.uuids(), numbers, st.uuids(), numbers)
def test_a_cursor_reads_as_it_was_written(
    done: int, mark: object, upper: int, upper_mark: object, place: int
) -> None:
    cursor = Cursor(done, str(mark), upper, str(upper_mark), place)
    assert read_cursor(cursor.write()) == cursor
