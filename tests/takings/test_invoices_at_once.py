"""Several phones of an owner issue invoices at once, on a database that commits. On PostgreSQL each
waits for the other; SQLite lets one write at a time.

Numbers in a row without a gap: Directive 2006/112/EC Art. 226(2), from memory.
"""

import pytest

from tests.sync.test_at_once import at_once
from tests.takings.test_invoices import asked, numbers, owed
from tests.world import make_world, phone_of

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_phones_at_once_get_two_numbers_in_a_row() -> None:
    world = make_world()
    phones = [world.owner, *(phone_of(world.owner.staff, world.owner.now) for _ in range(3))]
    deliveries = [
        (phone, [phone.envelope("issue_invoice", asked(world, owed(world))) for _ in range(3)])
        for phone in phones
    ]
    results = at_once(*deliveries)
    assert all(one.status == "applied" for receipts in results for one in receipts)
    assert numbers(world) == list(range(1, 13))


def test_one_sale_is_on_one_invoice_whoever_is_first() -> None:
    world = make_world()
    sale, other = owed(world), phone_of(world.owner.staff, world.owner.now)
    results = at_once(
        *((hand, [hand.envelope("issue_invoice", asked(world, sale))])
          for hand in (world.owner, other))
    )  # fmt: skip
    assert sorted(one.status for receipts in results for one in receipts) == ["applied", "refused"]
    assert numbers(world) == [1]
