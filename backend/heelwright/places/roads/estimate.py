"""Drives guessed from straight lines, which are as long there as back. No Django."""

from collections.abc import Sequence

from heelwright.places.roads.matrix import Matrix
from heelwright.places.rules import Drive, Point, Travel, estimate


def estimated(points: Sequence[Point], travel: Travel) -> Matrix:
    nothing = Drive(0, 0)
    ways = [[nothing] * len(points) for _ in points]
    for row, start in enumerate(points):
        for column in range(row):
            ways[row][column] = ways[column][row] = estimate(start, points[column], travel)
    return Matrix(
        tuple(tuple(way.seconds for way in row) for row in ways),
        tuple(tuple(way.metres for way in row) for row in ways),
        guessed=True,
    )
