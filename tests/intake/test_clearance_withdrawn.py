"""A clearance that holds no longer. Check: our own rule, no source."""

from uuid import UUID

from tests.factories import NEEDS_WORD, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World


def withdraw(hand: Hand, clearance: str, **span: float) -> dict[str, str]:
    told = {"clearance": clearance, "reason": "New test results"}
    return {**told, "withdrawn_at": hand.stamp(**span)}


def test_from_then_on_it_clears_nothing(world: World) -> None:
    technician = world.technician
    start = technician.ready(world.client, health=NEEDS_WORD)
    clearance = technician.clear(world.client)
    technician.do("withdraw_clearance", withdraw(technician.later(minutes=1), clearance))
    late = {**start, "started_at": technician.stamp()}
    assert technician.no("start_visit", late) == "needs_clearance"
    technician.later(minutes=1).clear(world.client)
    technician.do("start_visit", {**start, "started_at": technician.stamp()})


def test_the_earlier_of_two_counts(world: World) -> None:
    technician, owner = world.technician, world.owner
    clearance = technician.clear(world.client)
    technician.later(hours=2)
    owner.later(hours=1)
    technician.do("withdraw_clearance", withdraw(technician, clearance))
    earlier = withdraw(owner, clearance)
    owner.do("withdraw_clearance", earlier | {"reason": "The clinician rang"})
    row = fresh(technician).of("clearance")[UUID(clearance)]
    assert row["withdrawn_at"] == owner.now.isoformat().replace("+00:00", "Z")
    assert row["withdrawn_reason"] == "The clinician rang"


def test_it_needs_a_reason_and_a_clearance(world: World) -> None:
    technician = world.technician
    told = withdraw(technician, technician.clear(world.client))
    assert technician.no("withdraw_clearance", told | {"reason": "  "}) == "too_short"
    assert technician.no("withdraw_clearance", told | {"clearance": ident()}) == "not_found"
    ahead = withdraw(technician, told["clearance"], hours=2)
    assert technician.no("withdraw_clearance", ahead) == "date_too_late"
