"""The world of `tests.world`, furnished so that every command has something to do."""

import copy

import pytest

from tests.commands.examples import Furnished, furnish
from tests.world import World, built_world, world

__all__ = ["built_world", "world"]


@pytest.fixture(scope="module")
def built_furnished(built_world: World) -> Furnished:
    return furnish(built_world)


@pytest.fixture
def furnished(built_furnished: Furnished, db: None) -> Furnished:
    return copy.deepcopy(built_furnished)
