"""Where every run begins: the practice of `tests.world`, its people's passwords, and forms to fill
in, as far as a phone's person would know them."""

from typing import Any

from heelwright.commandlog import registry
from tests import factories
from tests.factories import GOOD_FEET, HEALTHY, NEEDS_WORD, OPEN_SORE, REFERRED
from tests.kit.hands import KitHand, lot_card, machine_card, product_card, set_card
from tests.simulator.server import START
from tests.world import PASSWORD, Hand, make_world

PEOPLE = ("owner", "technician", "colleague", "coordinator", "stranger")
FORMS = (
    *("client", "screen", "check", "consent", "sheet", "clearance", "booking", "visit", "done"),
    *("answer", "photo", "offer"),
)


def make_base_world() -> dict[str, Any]:
    world = make_world(START)
    kit = KitHand(world.technician)
    machine = kit.register(machine_card())
    kit.through(machine, *(kit.register(set_card(f"Set {n}")) for n in range(3)))
    for card in (product_card(), lot_card()):
        kit.register(card)
    hands = {name: getattr(world, name) for name in PEOPLE}
    for hand in hands.values():
        hand.staff.set_password(PASSWORD)
        hand.staff.save(update_fields=["password"])
    return {
        "start": START.isoformat(),
        "people": [_person(hand) for hand in hands.values()],
        "forms": {form: getattr(factories, f"{form}_args")() for form in FORMS},
        "health": [HEALTHY, HEALTHY, REFERRED, NEEDS_WORD],
        "kinds": sorted(registry.kinds()),
        "feet": [GOOD_FEET, GOOD_FEET, GOOD_FEET, OPEN_SORE],
    }


def _person(hand: Hand) -> dict[str, str]:
    return {
        "staff": hand.id,
        "practice": str(hand.staff.practice_id),
        "email": hand.staff.email,
        "password": PASSWORD,
        "role": hand.staff.role,
    }
