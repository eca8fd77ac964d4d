"""How far and how long a drive is, guessed from the straight line. The twin is `domain/places/`.

An estimate is for planning alone: no mile is ever claimed by it.
"""

from dataclasses import dataclass
from math import asin, cos, floor, radians, sin, sqrt
from typing import Protocol

from heelwright.rulebook import Book

# IUGG: (2a + b) / 3 of WGS 84.
EARTH_RADIUS_M = 6_371_008.8


class Point(Protocol):
    @property
    def lat(self) -> float: ...

    @property
    def lon(self) -> float: ...


@dataclass(frozen=True)
class Band:
    """`up_to_m` is None for all that is left."""

    up_to_m: int | None
    km_h: int


@dataclass(frozen=True)
class Travel:
    """What a drive is guessed by."""

    road_percent: int
    speeds: tuple[Band, ...]


@dataclass(frozen=True)
class Drive:
    metres: int
    seconds: int


def travel_of(book: Book) -> Travel:
    """The place's own factor comes last in a book, and counts."""
    held = book.content
    bands = (Band(speed.up_to_m, speed.km_h) for speed in held.road_speeds)
    return Travel(held.road_factors[-1].percent, tuple(bands))


def great_circle(start: Point, end: Point) -> int:
    """The shortest way over a round Earth, in whole metres."""
    lat, lat2 = radians(start.lat), radians(end.lat)
    half = (
        sin((lat2 - lat) / 2) ** 2
        + cos(lat) * cos(lat2) * sin(radians(end.lon - start.lon) / 2) ** 2
    )
    return floor(2 * EARTH_RADIUS_M * asin(min(1, sqrt(half))) + 0.5)


def drive(straight: int, travel: Travel) -> Drive:
    """Time grows with length: each part of the way is driven at the speed of its own band."""
    metres = (straight * travel.road_percent + 50) // 100
    seconds, begun = 0.0, 0
    for band in travel.speeds:
        to = metres if band.up_to_m is None else min(metres, band.up_to_m)
        if to > begun:
            seconds += (to - begun) * 36 / (band.km_h * 10)
        begun = max(begun, to)
    return Drive(metres, floor(seconds + 0.5))


def estimate(start: Point, end: Point, travel: Travel) -> Drive:
    return drive(great_circle(start, end), travel)
