"""What a pull of a few changes asks of the database: the same queries in a small practice and in a
large one, each answered from an index. Check: our own rule; on PostgreSQL the plan of each."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.commandlog.models import Access, FeedMark, FeedRow
from heelwright.ids import new_id
from heelwright.sync.cursor import Cursor
from heelwright.tenancy.models import Practice
from tests.run_length import runs
from tests.world import Hand, World

ROWS = runs(short=30_000, long=1_000_000)
ROWS_A_CLIENT = 10
AT_ONCE = 10_000


def fill(world: World) -> None:
    """The feed of a practice with many clients: a tenth are the technician's, the rest the
    colleague's."""
    practice = Practice.objects.get(pk=world.practice.pk)
    before, device = practice.feed_seq, world.technician.device
    scopes = [new_id() for _ in range(ROWS // ROWS_A_CLIENT)]
    Access.objects.bulk_create(
        Access(
            practice=practice,
            staff=(world.colleague if number % 10 else world.technician).staff,
            scope=scope,
            since=before,
        )
        for number, scope in enumerate(scopes)
    )
    for start in range(before + 1, before + 1 + ROWS, AT_ONCE):
        FeedRow.objects.bulk_create(
            FeedRow(
                practice=practice,
                kind="visit",
                row_id=new_id(),
                scope=scopes[seq % len(scopes)],
                seq=seq,
                device=device,
            )
            for seq in range(start, start + AT_ONCE)
        )
        FeedMark.objects.bulk_create(
            FeedMark(practice=practice, seq=seq, mark=new_id(), made_at=world.now)
            for seq in range(start + 9, start + AT_ONCE, 10)
        )
    practice.feed_seq = before + ROWS
    practice.feed_mark = FeedMark.objects.get(practice=practice, seq=practice.feed_seq).mark
    practice.save(update_fields=["feed_seq", "feed_mark"])
    with connection.cursor() as sql:
        sql.execute("ANALYZE")


def ten_changes(world: World) -> None:
    """To rows that everybody has, and a scope that is new to all."""
    for number in range(9):
        world.technician.do(
            "amend_client",
            {"client": world.resident, "seen": 2**40, "changes": {"phone": str(number)}},
        )
        world.technician.book(world.resident, starts_at=world.technician.stamp(days=number + 1))
    world.technician.register(facility=world.facility)


def asked_by(world: World, hand: Hand) -> list[str]:
    """The queries of a phone that was in step before the ten changes."""
    practice = Practice.objects.get(pk=world.practice.pk)
    cursor = Cursor(practice.feed_seq, str(practice.feed_mark)).write()
    ten_changes(world)
    with CaptureQueriesContext(connection) as asked:
        page = hand.pull(cursor)
    assert len(page.rows) >= 10
    assert not page.reset
    return [query["sql"] for query in asked]


@pytest.mark.parametrize("who", ["owner", "technician", "coordinator"])
def test_a_large_practice_costs_what_a_small_one_does(world: World, who: str) -> None:
    hand = world.hands[who]
    small = asked_by(world, hand)
    world.technician.later(days=30)
    fill(world)
    large = asked_by(world, hand)
    assert len(large) == len(small)
    assert [plan for sql in large for plan in walks_through(sql)] == []


def walks_through(sql: str) -> list[str]:
    """The lines of a plan that read the whole of one of the large tables."""
    if connection.vendor != "postgresql" or not sql.startswith("SELECT"):
        return []
    with connection.cursor() as asked:
        asked.execute("EXPLAIN " + sql)
        lines = [line for (line,) in asked.fetchall()]
    return [line for line in lines if "Seq Scan on commandlog_" in line]
