"""The card of a facility: who may change it, and what two people change at once. Check: our own
rule."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.people.models import Facility
from tests.sync.phone_model import fresh
from tests.world import Hand, World

LUNCH = {"name": "Lunch", "starts": "12:00", "ends": "13:00"}


def amend(world: World, hand: Hand, seen: int, **changes: Any) -> str | None:
    args = {"facility": world.facility, "seen": seen, "changes": changes}
    refusal = hand.send("amend_facility", args).refusal
    return f"{refusal.code} {refusal.field or ''}".strip() if refusal else None


def test_its_coordinator_and_the_owner_change_different_fields_at_once(world: World) -> None:
    assert amend(world, world.owner, 0, corridors=["North", "South"]) is None
    assert amend(world, world.coordinator, 0, quiet_times=[LUNCH]) is None
    row = fresh(world.technician).of("facility")[UUID(world.facility)]
    assert (row["corridors"], row["quiet_times"]) == (["North", "South"], [LUNCH])


def test_one_field_changed_by_two_is_for_a_person_to_settle(world: World) -> None:
    assert amend(world, world.owner, 0, corridors=["North"]) is None
    clash = amend(world, world.coordinator, 0, corridors=["South"])
    assert clash == "changed_elsewhere changes.corridors"
    assert Facility.objects.get(pk=world.facility).corridors == ["North"]


def test_a_house_of_others_is_not_theirs_to_change(world: World) -> None:
    other = "0192d4f0-0000-7000-8000-000000000001"
    world.owner.do("register_facility", {"facility": other, "name": "Other House"})
    change = {"facility": other, "seen": 0, "changes": {"name": "Mine"}}
    assert world.coordinator.no("amend_facility", change) == "not_found"
    assert world.technician.no("amend_facility", change) == "not_allowed"


@pytest.mark.parametrize(
    ("changes", "refusal"),
    [
        (
            {"quiet_times": [{**LUNCH, "ends": "12:00"}]},
            "ends_before_start changes.quiet_times.0.ends",
        ),
        (
            {"quiet_times": [{**LUNCH, "starts": "24:00"}]},
            "wrong_type changes.quiet_times.0.starts",
        ),
        ({"quiet_times": [LUNCH] * 13}, "too_long changes.quiet_times"),
        ({"corridors": ["North", "north"]}, "named_twice changes.corridors"),
        ({"corridors": [""]}, "too_short changes.corridors.0"),
        ({"name": None}, "missing_field changes.name"),
    ],
)
def test_what_cannot_be_is_named(world: World, changes: dict[str, Any], refusal: str) -> None:
    assert amend(world, world.coordinator, 0, **changes) == refusal
