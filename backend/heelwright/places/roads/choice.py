"""Which of the ways to know a drive a practice has chosen."""

import logging
from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from django.conf import settings

from heelwright.places.roads.embedded import embedded
from heelwright.places.roads.estimate import estimated
from heelwright.places.roads.matrix import Matrix, NoRoads
from heelwright.places.roads.service import by_service
from heelwright.places.rules import Point, Travel

Choice = Literal["straight_lines", "own_map", "service"]

log = logging.getLogger(__name__)


def on_offer(choice: str) -> bool:
    """Whether whoever runs this server has set it up."""
    return choice == "straight_lines" or bool(_where(choice))


def drives(points: Sequence[Point], travel: Travel, choice: str) -> Matrix:
    """As the practice has chosen; guessed where its road map does not answer, as `guessed` says."""
    try:
        if choice == "own_map":
            return embedded(points, Path(_where(choice)))
        if choice == "service":
            return by_service(points, _where(choice))
    except NoRoads as error:
        log.warning("drives are guessed: %s", error.code)
    return estimated(points, travel)


def _where(choice: str) -> str:
    where: str = (
        settings.HEELWRIGHT_ROAD_TILES if choice == "own_map" else settings.HEELWRIGHT_ROAD_SERVICE
    )
    return where
