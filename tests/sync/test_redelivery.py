"""An outbox that moved to another device number of the same person is done once (invariant 2 of
docs/sync.md). Check: our own rule."""

from datetime import timedelta

import pytest

from heelwright.commandlog.models import CommandRecord, Redelivery
from heelwright.commandlog.receive import DeviceCloned
from heelwright.commandlog.wire import Envelope
from heelwright.evidence import verify
from heelwright.schedule.models import Booking
from tests.database import everything
from tests.factories import booking_args, client_args, screen_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of


def moved(outbox: list[Envelope], to: Hand) -> list[Envelope]:
    """The same commands, numbered for another device."""
    again = []
    for envelope in outbox:
        to.seq += 1
        again.append(envelope.model_copy(update={"seq": to.seq}))
    return again


def day_of_work(world: World) -> list[Envelope]:
    """Applied, refused, flagged, and two that depend on each other."""
    hand = world.technician
    card = client_args()
    # What the phone showed was milder than what the server finds: kept, and told to the owner.
    screen = screen_args(client=world.client, screened_at=hand.stamp(), shown_outcome="go")
    screen["answers"] = {**screen["answers"], "foot_injury": True}
    book = booking_args(client=card["client"], staff=hand.id, starts_at=hand.stamp(days=1))
    return [
        hand.envelope("register_client", card),
        hand.envelope("register_client", client_args(name="")),
        hand.envelope("record_screen", screen),
        hand.envelope("book_visit", book),
    ]


def test_a_whole_outbox_under_a_new_number_has_the_stored_receipts(world: World) -> None:
    outbox = day_of_work(world)
    first = world.technician.deliver(*outbox)
    assert [r.status for r in first] == ["applied", "refused", "applied", "applied"]
    assert first[2].incidents
    rows = fresh(world.owner).rows
    new = phone_of(world.technician.staff, world.now)
    again = new.deliver(*moved(outbox, new))
    assert [r.status for r in again] == ["already_applied"] * 4
    assert [r.seq for r in again] == [1, 2, 3, 4]
    assert [(r.id, r.refusal, r.incidents) for r in again] == [
        (r.id, r.refusal, r.incidents) for r in first
    ]
    assert Redelivery.objects.filter(device=new.device).count() == 4
    now = fresh(world.owner).rows
    assert {key: row for key, row in now.items() if key[1] != new.device.pk} == rows
    assert verify(world.practice.pk).stands


def test_it_may_come_again_and_again_and_under_a_third_number(world: World) -> None:
    outbox = day_of_work(world)
    world.technician.deliver(*outbox)
    second, third = (phone_of(world.technician.staff, world.now) for _ in range(2))
    under_second = moved(outbox, second)
    receipts = second.deliver(*under_second)
    before = everything()
    assert second.deliver(*under_second) == receipts
    assert everything() == before
    assert [r.id for r in third.deliver(*moved(outbox, third))] == [r.id for r in receipts]
    assert Booking.objects.filter(practice=world.practice).count() == 1


@pytest.mark.parametrize("done", range(5))
def test_half_was_delivered_before_it_moved(world: World, done: int) -> None:
    """Whatever the old number delivered, and in whatever order new work is mixed in."""
    outbox, old = day_of_work(world), world.technician
    old.deliver(*outbox[:done])
    new = phone_of(old.staff, world.now)
    resent = moved(outbox[:2], new)
    own = new.envelope("register_client", client_args())
    resent += [own, *moved(outbox[2:], new)]
    statuses = [r.status for r in new.deliver(*resent)]
    assert statuses.count("already_applied") == done
    assert CommandRecord.objects.filter(id__in=[e.id for e in outbox]).count() == 4
    # The old number wakes up, and knows of nothing.
    late = old.deliver(*outbox)
    assert [r.status for r in late] == ["already_applied"] * 4
    assert fresh(new).rows == fresh(old).rows


@pytest.mark.parametrize("change", ["args", "name", "made_at", "rulebook"])
def test_other_content_under_a_known_id_is_a_clone(world: World, change: str) -> None:
    outbox = day_of_work(world)
    world.technician.deliver(*outbox)
    new = phone_of(world.technician.staff, world.now)
    (again,) = moved(outbox[:1], new)
    other = {
        "args": client_args(),
        "name": "amend_client",
        "made_at": again.made_at + timedelta(seconds=1),
        "rulebook": "v2",
    }
    before = everything()
    with pytest.raises(DeviceCloned):
        new.deliver(again.model_copy(update={change: other[change]}))
    assert everything() == before


def test_a_redelivered_number_with_other_content_is_a_clone(world: World) -> None:
    outbox = day_of_work(world)
    world.technician.deliver(*outbox)
    new = phone_of(world.technician.staff, world.now)
    (again,) = moved(outbox[:1], new)
    new.deliver(again)
    before = everything()
    with pytest.raises(DeviceCloned):
        new.deliver(again.model_copy(update={"args": client_args()}))
    assert everything() == before


@pytest.mark.parametrize("who", ["owner", "colleague", "coordinator", "stranger"])
def test_another_persons_command_is_a_clone(world: World, who: str) -> None:
    outbox = day_of_work(world)
    world.technician.deliver(*outbox)
    thief = world.hands[who]
    before = everything()
    with pytest.raises(DeviceCloned):
        thief.deliver(*moved(outbox, thief))
    assert everything() == before


def test_what_the_old_number_did_is_no_news_to_the_new_one(world: World) -> None:
    """Two changes of one booking, typed on one phone: the first applied, its receipt lost, then the
    phone gets a new number. The second is no conflict with the first."""
    old = world.technician
    booking = old.book(world.client, starts_at=old.stamp(days=1))
    seen = old.pull().rows[-1].version
    changes = [
        old.envelope(
            "move_booking",
            {"booking": booking, "seen": seen, "starts_at": old.stamp(days=days), "minutes": 30,
             "staff": old.id},
        )
        for days in (2, 3)
    ]  # fmt: skip
    old.deliver(changes[0])
    new = phone_of(old.staff, world.now)
    receipts = new.deliver(*moved(changes, new))
    assert [(r.status, r.refusal) for r in receipts] == [
        ("already_applied", None), ("applied", None),
    ]  # fmt: skip
