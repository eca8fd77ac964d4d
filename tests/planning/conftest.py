"""The world of `tests.world` for this folder."""

from tests.world import built_world, world

__all__ = ["built_world", "world"]
