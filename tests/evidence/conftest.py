"""The world of the tests of clients' chains."""

from tests.world import built_world, world

__all__ = ["built_world", "world"]
