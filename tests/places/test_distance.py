"""Distances and drives: the vectors that the phone runs as well, and the way over the ellipsoid."""

import random
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic

from heelwright.places.position import Position
from heelwright.places.rules import Band, Drive, Travel, drive, great_circle, travel_of
from heelwright.rulebook import book_for, overlays
from tests.parity.vectors import read
from tests.run_length import runs

VECTORS = read("distances.json")
TRAVEL = Travel(
    VECTORS["travel"]["road_percent"],
    tuple(Band(**band) for band in VECTORS["travel"]["speeds"]),
)


def at(lat: float, lon: float) -> Position:
    return Position(lat=lat, lon=lon, source="typed", accuracy_m=None)


@pytest.mark.parametrize("case", VECTORS["great_circle"], ids=lambda case: case[0])
def test_great_circle(case: list[Any]) -> None:
    _, lat, lon, lat2, lon2, metres = case
    assert great_circle(at(lat, lon), at(lat2, lon2)) == metres
    assert great_circle(at(lat2, lon2), at(lat, lon)) == metres


@pytest.mark.parametrize(("straight", "metres", "seconds"), VECTORS["drives"])
def test_drives(straight: int, metres: int, seconds: int) -> None:
    assert drive(straight, TRAVEL) == Drive(metres, seconds)


def test_a_round_earth_is_less_than_six_in_a_thousand_off() -> None:
    """Outside: the geodesic of WGS 84 by geographiclib. The most is 0.56 %, at the equator along
    the meridian, where its radius is a(1 - e^2) = 6335.439 km (computed)."""
    rng = random.Random(20261128)
    for _ in range(runs(200, 20_000)):
        lat, lon = rng.uniform(-85, 85), rng.uniform(-180, 180)
        near = at(lat + rng.uniform(-0.5, 0.5), lon + rng.uniform(-0.5, 0.5) if lon < 179 else lon)
        straight = great_circle(at(lat, lon), near)
        exact = Geodesic.WGS84.Inverse(round(lat, 6), round(lon, 6), near.lat, near.lon)["s12"]
        assert abs(straight - exact) <= 0.006 * exact + 1


@pytest.mark.parametrize("place", [None, *overlays()])
def test_a_longer_way_never_takes_less_time(place: str | None) -> None:
    travel = travel_of(book_for(place))
    drives = [drive(straight, travel) for straight in range(0, 120_000, 997)]
    assert drives == sorted(drives, key=lambda one: (one.metres, one.seconds))
    assert all(one.seconds > 0 for one in drives[1:])


@pytest.mark.parametrize(
    ("place", "percent"), [(None, 140), ("us", 142), ("uk", 140), ("ca", 130), ("au", 128)]
)
def test_the_factor_of_the_place_counts(place: str | None, percent: int) -> None:
    """US: Boscoe et al. 2012, mean detour 1.417; UK, Canada, Australia: Ballou et al. 2002 (all
    from memory)."""
    assert travel_of(book_for(place)).road_percent == percent
