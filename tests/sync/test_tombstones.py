"""Removed rows and scopes, and the floor below which the feed has forgotten them (invariants 5, 9
and 12 of docs/sync.md). Check: our own rule."""

import random
from datetime import timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright import vault
from heelwright.commandlog import trim as trimming
from heelwright.commandlog.act import Act
from heelwright.commandlog.history import writing
from heelwright.commandlog.models import Access, FeedMark, FeedRow
from heelwright.commandlog.trim import trim
from heelwright.declarations import Power, Refused
from heelwright.schedule.models import Booking
from heelwright.sync import pull as pulling
from heelwright.tenancy.models import Practice
from tests.factories import client_args
from tests.run_length import runs
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World


def remove(hand: Hand, booking: str) -> None:
    """As a command would that removes a row."""
    with writing(hand.now, pk=hand.device.practice_id) as practice, vault.unit():
        act = Act(practice, hand.staff, hand.device, Power.PERMISSION, hand.now, hand.now)
        act.remove(Booking.objects.get(pk=booking))


def trim_all(world: World) -> int:
    """As though all that was removed so far had been removed long ago."""
    return trim(world.practice.pk, world.owner.now + timedelta(hours=1), world.owner.now)


def floor(world: World) -> int:
    return Practice.objects.get(pk=world.practice.pk).feed_floor


@pytest.fixture
def booking(world: World) -> str:
    return world.technician.book(world.client, starts_at=world.technician.stamp(days=1))


@pytest.mark.parametrize("who", ["owner", "technician"])
def test_a_removed_row_goes_from_every_device(world: World, booking: str, who: str) -> None:
    hand = world.hands[who]
    phone = fresh(hand)
    assert booking in {str(id_) for id_ in phone.of("booking")}
    remove(world.owner, booking)
    page = phone.take(hand.pull(phone.cursor))
    assert [(row.kind, str(row.id), row.row) for row in page.rows] == [("booking", booking, None)]
    assert phone.rows == fresh(hand).rows


def test_a_removed_row_never_comes_back(world: World, booking: str) -> None:
    hand = world.technician
    row = Booking.objects.get(pk=booking)
    again = hand.envelope("cancel_booking", {"booking": booking, "seen": 10_000, "reason": "x"})
    remove(world.owner, booking)
    before = FeedRow.objects.get(row_id=booking)
    assert hand.deliver(again)[0].status == "refused"
    with writing(hand.now, pk=world.practice.pk) as practice, vault.unit():
        act = Act(practice, hand.staff, hand.device, Power.REPORT, hand.now, hand.now)
        for revive in (act.announce, act.put):
            with pytest.raises(Refused, match="removed"):
                revive(row)
    now = FeedRow.objects.get(row_id=booking)
    assert (now.seq, now.gone_at) == (before.seq, before.gone_at)


def asleep(world: World, booking: str) -> PhoneModel:
    """The colleague's phone, which then sleeps through a removal and a scope that is taken."""
    share = {"client": world.client, "staff": world.colleague.id}
    world.owner.do("assign_client", share)
    phone = fresh(world.colleague)
    assert phone.of("booking")
    remove(world.owner, booking)
    world.owner.do("unassign_client", share)
    return phone


def test_who_slept_longer_than_the_floor_has_what_a_fresh_one_has(
    world: World, booking: str
) -> None:
    phone, hand = asleep(world, booking), world.colleague
    outbox = [hand.envelope("register_client", client_args()) for _ in range(2)]
    assert trim_all(world) > 0
    assert not FeedRow.objects.filter(row_id=booking).exists()
    page = phone.take(hand.pull(phone.cursor))
    assert page.reset
    assert phone.sync().rows == fresh(hand).rows
    assert not phone.of("booking")
    # The reset is about rows. What was typed meanwhile is taken as if nothing had been.
    assert page.next_seq == outbox[0].seq
    assert [r.status for r in hand.deliver(*outbox)] == ["applied", "applied"]
    assert phone.sync().rows == fresh(hand).rows


def test_who_slept_less_is_told_of_each_removal(world: World, booking: str) -> None:
    phone, hand = asleep(world, booking), world.colleague
    day_before = world.owner.now - timedelta(days=1)
    assert trim(world.practice.pk, day_before, world.owner.now) == 0
    page = phone.take(hand.pull(phone.cursor))
    assert not page.reset
    assert [str(scope) for scope in page.forget] == [world.client]
    assert phone.sync().rows == fresh(hand).rows


def test_who_is_above_the_floor_goes_on(world: World, booking: str) -> None:
    remove(world.owner, booking)
    phone = fresh(world.technician)
    trim_all(world)
    world.technician.register()
    page = phone.take(world.technician.pull(phone.cursor))
    assert not page.reset
    assert phone.sync().rows == fresh(world.technician).rows


def test_a_quiet_practice_stays_in_step_however_old_its_mark(world: World, booking: str) -> None:
    remove(world.owner, booking)
    phone = fresh(world.technician)
    trim_all(world)
    assert not FeedMark.objects.filter(
        practice=world.practice, seq__lt=Practice.objects.get(pk=world.practice.pk).feed_seq
    ).exists()
    with CaptureQueriesContext(connection) as asked:
        page = world.technician.pull(phone.cursor)
    assert len(asked) == 1
    assert not page.reset


def test_a_floor_that_rises_between_two_pages(
    world: World, booking: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pulling, "PAGE", 3)
    first, later = PhoneModel(world.owner), PhoneModel(world.owner).sync()
    world.technician.ready(world.client)
    first.take(world.owner.pull(first.cursor))
    later.take(world.owner.pull(later.cursor))
    remove(world.owner, booking)
    trim_all(world)
    for phone in (first, later):
        assert phone.sync().rows == fresh(world.owner).rows


def test_a_trim_that_is_broken_off_is_taken_up(
    world: World, booking: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = asleep(world, booking)
    monkeypatch.setattr(trimming, "BATCH", 1)
    once = trimming._delete

    def broken(rows: Any) -> int:
        if rows.model is Access:
            raise KeyboardInterrupt
        return once(rows)

    monkeypatch.setattr(trimming, "_delete", broken)
    with pytest.raises(KeyboardInterrupt):
        trim_all(world)
    assert world.colleague.pull(phone.cursor).reset
    monkeypatch.setattr(trimming, "_delete", once)
    assert trim_all(world) > 0
    assert not Access.objects.filter(practice=world.practice).exclude(closed_at=None).exists()
    assert trim_all(world) == 0
    assert phone.sync().rows == fresh(world.colleague).rows


def test_the_command_trims_what_is_older_than_its_days(
    world: World, booking: str, capsys: Any
) -> None:
    remove(world.owner, booking)
    long_ago = world.owner.now - timedelta(days=200)
    call_command("feed_trim")
    assert floor(world) == 0
    FeedRow.objects.filter(row_id=booking).update(gone_at=long_ago)
    call_command("feed_trim", days=201)
    assert floor(world) == 0
    call_command("feed_trim")
    assert floor(world) > 0
    assert not FeedRow.objects.filter(row_id=booking).exists()
    assert "1 rows" in capsys.readouterr().out
    with pytest.raises(CommandError):
        call_command("feed_trim", days=7)


@pytest.mark.parametrize("seed", range(runs(short=5, long=200)))
def test_whatever_happens_in_whatever_order_each_phone_ends_as_a_fresh_one(
    world: World, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rows made and removed, scopes given and taken, floors raised, phones that sync at times."""
    monkeypatch.setattr(pulling, "PAGE", 4)
    dice = random.Random(seed)
    hands = [world.owner, world.technician, world.colleague, world.coordinator]
    phones = [PhoneModel(hand) for hand in hands]
    bookings: list[str] = []
    for _ in range(30):
        world.owner.later(minutes=1)
        match dice.choice(["book", "remove", "give", "take", "trim", "pull", "pull", "pull"]):
            case "book":
                client = dice.choice([world.client, world.resident])
                at = world.owner.stamp(days=len(bookings) + 1)
                bookings.append(world.owner.book(client, staff=world.technician.id, starts_at=at))
            case "remove" if bookings:
                remove(world.owner, bookings.pop(dice.randrange(len(bookings))))
            case "give" | "take" as which:
                name = "assign_client" if which == "give" else "unassign_client"
                staff = dice.choice([world.technician.id, world.colleague.id])
                world.owner.do(name, {"client": world.client, "staff": staff})
            case "trim":
                trim(world.practice.pk, world.owner.now - timedelta(minutes=5), world.owner.now)
            case "pull":
                phone = dice.choice(phones)
                phone.take(phone.hand.pull(phone.cursor))
    for phone in phones:
        assert phone.sync().rows == fresh(phone.hand).rows
