"""Who is told that what they used is called back. Check: our own rule; the recall itself back to
the last good spore test: MMWR 2003;52(RR-17), from a secondary source."""

import pytest

from heelwright.commandlog.models import Incident
from tests.kit.conftest import Kit
from tests.kit.test_sets import asked, begun
from tests.sync.phone_model import fresh

pytestmark = pytest.mark.django_db


def told(kit: Kit, who: str) -> list[str]:
    return sorted(row["code"] for row in fresh(kit.world.hands[who]).of("incident").values())


def use(kit: Kit) -> str:
    """The set, through a cycle and used on a client; returns the cycle."""
    load = kit.technician.through(kit.machine, kit.set)
    assert asked(kit.technician, kit.set, begun(kit.world.technician, kit.world.client)) == "yes"
    return load


def test_a_technician_hears_of_a_failed_check_that_the_owner_records(kit: Kit) -> None:
    use(kit)
    kit.owner.look().check(kit.machine, passed=False)
    assert told(kit, "technician") == ["used_called_back"]
    assert told(kit, "colleague") == []
    assert told(kit, "owner") == ["machine_failed", "used_called_back"]


def test_whoever_tells_of_it_is_told_once(kit: Kit) -> None:
    use(kit)
    kit.technician.check(kit.machine, passed=False)
    assert told(kit, "technician") == ["machine_failed"]


def test_a_technician_hears_of_a_cycle_that_failed_after_its_use(kit: Kit) -> None:
    kit.owner.end(use(kit), indicator="failed")
    kit.owner.send()
    assert told(kit, "technician") == ["used_called_back"]
    assert told(kit, "owner") == ["cycle_failed", "used_called_back"]


def test_a_cycle_that_is_bad_already_is_not_told_again(kit: Kit) -> None:
    load = use(kit)
    for indicator in ("failed", "failed", "passed"):
        kit.owner.end(load, indicator=indicator)
        kit.owner.send()
    assert told(kit, "owner") == ["cycle_failed", "used_called_back"]


def test_nobody_hears_where_nothing_was_used(kit: Kit) -> None:
    kit.technician.through(kit.machine, kit.set)
    kit.owner.look().check(kit.machine, passed=False)
    assert not Incident.objects.filter(code="used_called_back").exists()
