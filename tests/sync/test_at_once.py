"""Several phones at once, on a database that commits: order, gaps, and nothing lost or doubled."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier, Event

import pytest
from django.db import connection, transaction

from heelwright.commandlog.models import CommandRecord, FeedRow
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.evidence import verify
from heelwright.people.models import Client
from heelwright.schedule.models import Booking
from tests.factories import booking_args, client_args
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World, make_world

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*deliveries: tuple[Hand, list[Envelope]]) -> list[list[Receipt]]:
    """Each delivery in a thread of its own, all let go together."""
    together = Barrier(len(deliveries))

    def push(hand: Hand, envelopes: list[Envelope]) -> list[Receipt]:
        try:
            together.wait(timeout=20)
            return hand.deliver(*envelopes)
        finally:
            connection.close()

    with ThreadPoolExecutor(len(deliveries)) as threads:
        return list(threads.map(lambda job: push(*job), deliveries))


def registrations(hand: Hand, count: int) -> list[Envelope]:
    return [hand.envelope("register_client", client_args()) for _ in range(count)]


@pytest.fixture
def committed() -> World:
    return make_world()


def test_four_phones_push_at_once(committed: World) -> None:
    world = committed
    before = Client.objects.count()
    hands = [world.owner, world.technician, world.colleague, world.stranger]
    results = at_once(*((hand, registrations(hand, 5)) for hand in hands))
    assert all(r.status == "applied" for receipts in results for r in receipts)
    assert Client.objects.count() == before + 20
    for hand in (world.owner, world.stranger):
        practice = hand.device.practice
        practice.refresh_from_db()
        seqs = list(FeedRow.objects.filter(practice=practice).values_list("seq", flat=True))
        assert len(set(seqs)) == len(seqs)
        assert max(seqs) == practice.feed_seq
        assert verify(practice.pk).stands


def test_the_same_push_twice_at_once_has_one_effect(committed: World) -> None:
    hand = committed.technician
    envelopes = registrations(hand, 4)
    first, second = at_once((hand, envelopes), (hand, envelopes))
    statuses = sorted([[r.status for r in first], [r.status for r in second]])
    assert statuses == [["already_applied"] * 4, ["applied"] * 4]
    assert CommandRecord.objects.filter(device=hand.device).count() == hand.seq
    names = Client.objects.filter(pk__in=[e.args["client"] for e in envelopes])
    assert names.count() == 4


def test_two_bookings_for_one_hour_at_once(committed: World) -> None:
    world = committed
    start = world.technician.stamp(days=1)
    deliveries = [
        (
            hand,
            [
                hand.envelope(
                    "book_visit",
                    booking_args(client=world.resident, staff=world.technician.id, starts_at=start),
                )
            ],
        )
        for hand in (world.owner, world.coordinator)
    ]
    results = [receipts[0] for receipts in at_once(*deliveries)]
    assert sorted(r.status for r in results) == ["applied", "refused"]
    (no,) = [r.refusal for r in results if r.refusal]
    assert no.code == "double_booked"
    assert Booking.objects.count() == 1


def test_a_reader_never_passes_a_writer_by(committed: World) -> None:
    """Pulled while others push, a phone ends with what a fresh one gets."""
    world = committed
    phone = PhoneModel(world.owner).sync()
    hands = [world.technician, world.colleague]

    def write(hand: Hand) -> None:
        try:
            for _ in range(6):
                hand.register()
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as threads:
        jobs = [threads.submit(write, hand) for hand in hands]
        while not all(job.done() for job in jobs):
            phone.sync()
        for job in jobs:
            job.result()
    assert phone.sync().rows == fresh(world.owner).rows


def test_who_fetches_waits_for_no_writer(committed: World) -> None:
    """And gets what stood before: the writer has written, and not yet committed."""
    owner, written, fetched = committed.owner, Event(), Event()
    before = fresh(owner).rows

    def write() -> bool:
        try:
            with transaction.atomic():
                committed.technician.register()
                written.set()
                return fetched.wait(timeout=10)
        finally:
            connection.close()

    with ThreadPoolExecutor(1) as threads:
        writer = threads.submit(write)
        assert written.wait(timeout=20)
        assert fresh(owner).rows == before
        fetched.set()
        assert writer.result()
    assert len(fresh(owner).rows) > len(before)
