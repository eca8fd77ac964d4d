"""Several phones of one person ask for a plan at once, on a database that commits. Check: our own
rule."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from heelwright.planning import runs
from heelwright.planning.models import PlanningRun
from tests.world import make_world

pytestmark = pytest.mark.django_db(transaction=True)


def test_of_several_that_are_asked_for_at_once_one_is_left() -> None:
    world = make_world()
    together = Barrier(4)

    def ask(_: int) -> None:
        try:
            together.wait(timeout=20)
            runs.asked_for(world.owner.staff, {}, world.now)
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as threads:
        list(threads.map(ask, range(4)))
    states = sorted(PlanningRun.objects.values_list("state", flat=True))
    assert states == ["cancelled"] * 3 + ["waiting"]
