"""The world of `tests.world` for this folder, and a kit in it."""

import pytest

from tests.kit.hands import KitHand, machine_card, set_card
from tests.world import World, built_world, world

__all__ = ["built_world", "world"]


class Kit:
    """A set and a machine, in the hands of the technician and of the owner."""

    def __init__(self, world: World) -> None:
        self.world = world
        self.technician, self.owner = KitHand(world.technician), KitHand(world.owner)
        self.machine = self.technician.register(machine_card())
        self.set = self.technician.register(set_card())


@pytest.fixture
def kit(world: World, db: None) -> Kit:
    return Kit(world)
