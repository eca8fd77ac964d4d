"""What a pull costs is counted in statements: as many for a long feed as for a short one.

No published source: the project's own aim. Times are measured in tests/bench.
"""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright.commandlog.models import FeedRow
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import World

CHANGES = 10
MORE_CLIENTS = 40


@pytest.fixture
def clients(world: World) -> list[str]:
    """Of the technician, so that both pull the same changes."""
    return [somebody(world, number) for number in range(CHANGES)]


def somebody(world: World, number: int) -> str:
    """Born on a day of their own, so that nobody is taken for somebody else."""
    return world.technician.register(born=str(date(1960, 1, 1) + timedelta(days=number)))


def change_all(world: World, clients: list[str], phone: str) -> None:
    for client in clients:
        amend = {"client": client, "seen": 10_000, "changes": {"phone": phone}}
        world.owner.do("amend_client", amend)


def statements_of(phone: PhoneModel) -> tuple[int, int]:
    """Of the next pull, and how many rows it brought."""
    with CaptureQueriesContext(connection) as asked:
        page = phone.take(phone.hand.pull(phone.cursor))
    assert not page.more
    return len(asked), len(page.rows)


@pytest.mark.parametrize("who", ["owner", "technician"])
def test_ten_changes_take_as_many_statements_in_a_longer_feed(
    world: World, clients: list[str], who: str
) -> None:
    phone = fresh(world.hands[who])
    change_all(world, clients, "1")
    few, rows = statements_of(phone)
    before = FeedRow.objects.count()
    for number in range(MORE_CLIENTS):
        world.technician.screen(somebody(world, CHANGES + number))
    assert FeedRow.objects.count() >= before + 2 * MORE_CLIENTS
    phone.sync()
    change_all(world, clients, "2")
    assert statements_of(phone) == (few, rows)
    assert rows == CHANGES


@pytest.mark.parametrize("who", ["owner", "technician"])
def test_ten_changes_take_as_many_statements_as_one(
    world: World, clients: list[str], who: str
) -> None:
    phone = fresh(world.hands[who])
    change_all(world, clients[:1], "1")
    one, _ = statements_of(phone)
    change_all(world, clients, "2")
    ten, rows = statements_of(phone)
    assert (ten, rows) == (one, CHANGES)
