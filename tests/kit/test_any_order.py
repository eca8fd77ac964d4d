"""No order of commands, from any number of phones, gives permission for a set with an unfinished
cycle; what was used all the same is kept and flagged. Check: our own, apart from the rules."""

import pytest

from tests.kit import any_order
from tests.run_length import runs
from tests.world import World


@pytest.mark.django_db
@pytest.mark.one_database  # tests/kit/test_sets.py has each step on each
def test_no_order_gives_a_set_before_its_cycle(world: World) -> None:
    any_order.run(world, runs(10, 3000), runs(30, 60))
