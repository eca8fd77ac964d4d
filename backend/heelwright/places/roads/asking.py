"""Asking an engine of the open Valhalla interface for a matrix, block by block. No Django.

Source of the shapes: Valhalla's documentation of its time-distance matrix (`sources_to_targets`).
"""

from collections.abc import Callable, Sequence
from typing import Any

from heelwright.places.roads.matrix import Matrix, NoRoads
from heelwright.places.rules import Point

# By its own default an engine takes fifty places at once.
BLOCK = 50

Ask = Callable[[dict[str, Any]], Any]


def gathered(points: Sequence[Point], ask: Ask) -> Matrix:
    """`ask` takes a request and gives the answer, or raises NoRoads."""
    seconds: list[list[int | None]] = [[None] * len(points) for _ in points]
    metres: list[list[int | None]] = [[None] * len(points) for _ in points]
    starts = range(0, len(points), BLOCK)
    for row, column in ((row, column) for row in starts for column in starts):
        answer = ask(_request(points[row : row + BLOCK], points[column : column + BLOCK]))
        for down, across, drive in _drives(answer):
            seconds[row + down][column + across], metres[row + down][column + across] = drive
    return Matrix(
        tuple(tuple(each) for each in seconds),
        tuple(tuple(each) for each in metres),
        guessed=False,
    )


def _request(sources: Sequence[Point], targets: Sequence[Point]) -> dict[str, Any]:
    return {
        "sources": [{"lat": one.lat, "lon": one.lon} for one in sources],
        "targets": [{"lat": one.lat, "lon": one.lon} for one in targets],
        "costing": "auto",
        "units": "kilometers",
    }


def _drives(answer: Any) -> list[tuple[int, int, tuple[int, int]]]:
    """Row, column, and seconds and metres of each way that there is."""
    try:
        return [
            (down, across, (round(way["time"]), round(way["distance"] * 1000)))
            for down, row in enumerate(answer["sources_to_targets"])
            for across, way in enumerate(row)
            if way.get("time") is not None and way.get("distance") is not None
        ]
    except (TypeError, KeyError, AttributeError, ValueError) as error:
        raise NoRoads("answer_of_another_shape") from error
