"""How far and how long the drive is between each two of some places."""

from collections.abc import Sequence
from dataclasses import dataclass

from heelwright.places.rules import Drive, Point, Travel, estimate


@dataclass(frozen=True)
class Matrix:
    """From each place, by its row, to each, by its column."""

    seconds: tuple[tuple[int, ...], ...]
    metres: tuple[tuple[int, ...], ...]


def estimated(points: Sequence[Point], travel: Travel) -> Matrix:
    """Guessed from the straight lines, which are as long there as back."""
    nothing = Drive(0, 0)
    ways = [[nothing] * len(points) for _ in points]
    for row, start in enumerate(points):
        for column in range(row):
            ways[row][column] = ways[column][row] = estimate(start, points[column], travel)
    return Matrix(
        tuple(tuple(way.seconds for way in row) for row in ways),
        tuple(tuple(way.metres for way in row) for row in ways),
    )
