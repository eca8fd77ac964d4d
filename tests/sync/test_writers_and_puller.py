"""Eight writers and two readers that never look back: no change is missed (invariant 6 of
docs/sync.md).

Check: what each reader has at the end against a fresh pull, and the newest version of every row
against the server's feed. Counts are printed: `pytest -s`.
"""

import threading
import time
from collections import Counter
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from uuid import UUID

import pytest
from django.db import connection

from heelwright.commandlog import permissions
from heelwright.commandlog.models import Access, FeedRow
from heelwright.declarations import Role
from heelwright.evidence import verify
from heelwright.sync import pull as pulling
from heelwright.sync.pull import Pulled
from tests.factories import client_args, screen_args
from tests.run_length import runs
from tests.sync.crowd import WatchedPhone
from tests.sync.phone_model import fresh
from tests.world import Hand, World, make_world, phone_of

pytestmark = pytest.mark.django_db(transaction=True)

SECONDS = runs(short=8, long=60)
# SQLite gives its lock to whoever asks first: who asks again at once keeps the others out.
PAUSE = 0.01


class Reader(WatchedPhone):
    """It pulls page after page and never starts over. `newest` is the last version of each row that
    it was handed, removals too."""

    def __init__(self, hand: Hand) -> None:
        super().__init__(hand)
        self.newest: dict[tuple[str, UUID], int] = {}
        self.handed = self.forgotten = 0

    def take(self, page: Pulled) -> Pulled:
        assert self.cursor is None or not page.reset
        self.handed += len(page.rows)
        self.forgotten += len(page.forget)
        for row in page.rows:
            # A scope that comes back brings its rows again, in the version that they have.
            assert row.version >= self.newest.get((row.kind, row.id), 0), "an older version came"
            self.newest[row.kind, row.id] = row.version
        return super().take(page)


@dataclass
class Rush:
    """Writers and readers in threads of their own, until `over`."""

    over: threading.Event = field(default_factory=threading.Event)
    sent: Counter[int] = field(default_factory=Counter)
    pulls: Counter[str] = field(default_factory=Counter)

    def writing(self, writer: int, step: Callable[[int], None]) -> None:
        while not self.over.is_set():
            step(self.sent[writer])
            self.sent[writer] += 1
            self.over.wait(PAUSE)

    def reading(self, name: str, reader: Reader) -> None:
        while not self.over.is_set():
            reader.sync()
            self.pulls[name] += 1
            self.over.wait(PAUSE)

    def run(self, jobs: Sequence[Callable[[], None]], seconds: float) -> None:
        def alone(job: Callable[[], None]) -> None:
            try:
                job()
            finally:
                connection.close()

        with ThreadPoolExecutor(len(jobs)) as threads:
            running: list[Future[None]] = [threads.submit(alone, job) for job in jobs]
            end = time.monotonic() + seconds
            while time.monotonic() < end and not any(job.done() for job in running):
                time.sleep(0.05)
            self.over.set()
            for job in running:
                job.result()


def registers(hand: Hand) -> Callable[[int], None]:
    """Cards and changes of them, some in one delivery."""

    def step(number: int) -> None:
        args = client_args()
        change = {"client": args["client"], "seen": 0, "changes": {"note": f"{number}"}}
        made = [hand.envelope("register_client", args), hand.envelope("amend_client", change)]
        receipts = hand.deliver(*made)
        assert [r.status for r in receipts] == ["applied", "applied"]

    return step


def examines(hand: Hand, client: str) -> Callable[[int], None]:
    """Screens of a client whom somebody else's phone gains and loses meanwhile."""

    def step(number: int) -> None:
        hand.do("record_screen", screen_args(client=client, screened_at=hand.stamp()))

    return step


def gives_and_takes(hand: Hand, client: str, staff: str) -> Callable[[int], None]:
    def step(number: int) -> None:
        name = "unassign_client" if number % 2 else "assign_client"
        hand.do(name, {"client": client, "staff": staff})

    return step


@pytest.fixture
def rushed(monkeypatch: pytest.MonkeyPatch) -> tuple[World, dict[str, Reader], Rush]:
    """Eight phones of four people in two practices write; the owner's and the colleague's read."""
    monkeypatch.setattr(pulling, "PAGE", 20)
    world, rush = make_world(), Rush()
    owner, technician, colleague = world.owner, world.technician, world.colleague

    def another(hand: Hand) -> Hand:
        return phone_of(hand.staff, world.now)

    readers = {"owner": Reader(another(owner)), "technician": Reader(another(colleague))}
    shared = technician.register()
    steps = [
        gives_and_takes(owner, world.client, colleague.id),
        gives_and_takes(another(owner), shared, colleague.id),
        examines(technician, world.client),
        examines(another(technician), shared),
        registers(another(technician)),
        registers(colleague),
        registers(another(colleague)),
        registers(world.stranger),
    ]
    jobs = [partial(rush.writing, number, step) for number, step in enumerate(steps, start=1)]
    jobs += [partial(rush.reading, name, reader) for name, reader in readers.items()]
    rush.run(jobs, SECONDS)
    return world, readers, rush


def newest_in_scope(world: World, reader: Reader) -> dict[tuple[str, UUID], int]:
    """The version of every row that the reader's person may see, from the server's feed."""
    staff, feed = reader.hand.staff, FeedRow.objects.filter(practice=world.practice)
    if staff.role != Role.OWNER:
        open_now = Access.objects.filter(staff=staff, until=None)
        feed = feed.filter(scope__in=open_now.values("scope"))
    entries = feed.values_list("kind", "row_id", "seq")
    return {(k, i): v for k, i, v in entries if permissions.may_see(k, Role(staff.role))}


def test_no_change_is_missed(rushed: tuple[World, dict[str, Reader], Rush]) -> None:
    world, readers, rush = rushed
    for name, reader in readers.items():
        # One more pull from where it stands; none of what it passed is asked for again.
        rows = reader.sync().rows
        assert rows == fresh(reader.hand).rows, name
        newest = newest_in_scope(world, reader)
        assert {key: reader.newest.get(key) for key in newest} == newest, name
        print(
            f"{name}: {rush.pulls[name]} pulls, {reader.pages} pages, {reader.handed} rows handed"
            f" out, {reader.forgotten} scopes forgotten, {len(rows)} rows at the end"
        )
    each = [rush.sent[writer] for writer in sorted(rush.sent)]
    print(f"{sum(each)} deliveries in {SECONDS} s on {connection.vendor}, by writer: {each}")
    assert len(each) == 8
    assert readers["technician"].forgotten > 0
    for practice in (world.practice.pk, world.stranger.device.practice_id):
        assert verify(practice).stands
