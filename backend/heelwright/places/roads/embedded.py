"""Road times by an engine inside this process, over tiles made of an OpenStreetMap extract."""

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

from heelwright.places.roads.asking import gathered
from heelwright.places.roads.matrix import Matrix, NoRoads
from heelwright.places.rules import Point


def embedded(points: Sequence[Point], tiles: Path) -> Matrix:
    """`tiles` is a tar of the engine's tiles. Raises NoRoads."""
    actor = _actor(tiles)

    def ask(request: dict[str, Any]) -> Any:
        try:
            return actor.matrix(request)
        except (RuntimeError, ValueError) as error:
            raise NoRoads("far_from_every_road") from error

    return gathered(points, ask)


@lru_cache(maxsize=1)
def _actor(tiles: Path) -> Any:
    try:
        from valhalla import Actor, get_config  # an extra that may not be there
    except ImportError as error:
        raise NoRoads("extra_not_installed") from error
    if not tiles.is_file():
        raise NoRoads("no_such_tiles")
    try:
        return Actor(get_config(tile_extract=str(tiles), verbose=False))
    except (RuntimeError, ValueError) as error:
        raise NoRoads("tiles_not_readable") from error
