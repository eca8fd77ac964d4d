"""The world of `tests.world` for this folder."""

import pytest
from django.core.cache import cache

from tests.world import built_world, world

__all__ = ["built_world", "no_tries_counted", "world"]


@pytest.fixture(autouse=True)
def no_tries_counted() -> None:
    """Of other tests, by the same people."""
    cache.clear()
