"""A pull of ten changes asks the database as often as a pull of one. Check: our own rule, no
published source."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.sync.phone_model import PhoneModel, fresh
from tests.world import World

CHANGES = 10


@pytest.fixture
def clients(world: World) -> list[str]:
    """The technician's. Each was born on another day, so that nobody is taken for somebody else."""
    first = date(1960, 1, 1)
    return [
        world.technician.register(born=str(first + timedelta(days=number)))
        for number in range(CHANGES)
    ]


def change_all(world: World, clients: list[str], phone: str) -> None:
    for client in clients:
        amend = {"client": client, "seen": 10_000, "changes": {"phone": phone}}
        world.owner.do("amend_client", amend)


def statements_and_rows(phone: PhoneModel) -> tuple[int, int]:
    with CaptureQueriesContext(connection) as asked:
        page = phone.take(phone.hand.pull(phone.cursor))
    assert not page.more
    return len(asked), len(page.rows)


@pytest.mark.parametrize("who", ["owner", "technician"])
def test_ten_changes_take_as_many_statements_as_one(
    world: World, clients: list[str], who: str
) -> None:
    phone = fresh(world.hands[who])
    change_all(world, clients[:1], "1")
    one, _ = statements_and_rows(phone)
    change_all(world, clients, "2")
    assert statements_and_rows(phone) == (one, CHANGES)
