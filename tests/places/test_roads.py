"""Road times by an engine in this process and by a service, over a made-up town.

Lengths: the ways of `town/town.osm`, summed over the WGS 84 ellipsoid by geographiclib.
"""

import logging
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from itertools import pairwise
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from pytest_django import Settings

from heelwright.places.position import Position
from heelwright.places.roads import Matrix, NoRoads, drives, estimated
from heelwright.places.roads.asking import BLOCK, gathered
from heelwright.places.roads.embedded import embedded
from heelwright.places.roads.service import by_service
from heelwright.places.rules import Band, Travel
from tests.places.town import BRIDGE_END, BUILDER, CORNER, FORD, MARKET, MILL, at, built, service
from tests.world import World

TRAVEL = Travel(130, (Band(None, 40),))
PLACES = [MARKET, CORNER, BRIDGE_END, MILL, FORD]
with_programs = pytest.mark.skipif(
    not BUILDER.exists(), reason="no programs of the road engine for this machine (make roads)"
)


@pytest.fixture(scope="module")
def tiles(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built(tmp_path_factory.mktemp("town"))


@pytest.fixture(scope="module")
def address(tiles: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with service(tiles, tmp_path_factory.mktemp("service")) as running:
        yield running


@with_programs
@pytest.mark.parametrize("engine", ["embedded", "service"])
def test_ways_are_as_long_as_the_streets_and_one_goes_one_way(
    engine: str, tiles: Path, address: str
) -> None:
    matrix = embedded(PLACES, tiles) if engine == "embedded" else by_service(PLACES, address)
    assert not matrix.guessed
    ways = {
        (0, 3): [MARKET, CORNER, BRIDGE_END, MILL],
        # Back over the bridge nobody may drive.
        (3, 0): [MILL, FORD, MARKET],
        (1, 2): [CORNER, BRIDGE_END],
        (2, 1): [BRIDGE_END, MILL, FORD, MARKET, CORNER],
    }
    for (start, end), way in ways.items():
        metres, seconds = matrix.metres[start][end], matrix.seconds[start][end]
        assert metres == pytest.approx(streets(way), rel=0.005)
        # Through a town, and stopping at corners, between walking fast and 60 km/h.
        assert metres is not None
        assert seconds is not None
        assert 2 < metres / seconds < 17
    assert all(matrix.metres[place][place] == 0 for place in range(len(PLACES)))


@with_programs
def test_by_the_straight_line_the_mill_is_near_and_by_the_road_far(tiles: Path) -> None:
    guessed, known = estimated([MARKET, MILL], TRAVEL), embedded([MARKET, MILL], tiles)
    assert guessed.guessed
    # One kilometre straight; two of a kilometre and one more by the bridge.
    assert metres_of(guessed) < 1500
    assert metres_of(known) > 2900


@with_programs
def test_a_place_far_from_every_road_is_guessed_and_so_are_all(
    tiles: Path, settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    settings.HEELWRIGHT_ROAD_TILES = str(tiles)
    assert not drives([MARKET, MILL], TRAVEL, "own_map").guessed
    places = [MARKET, at(0.0, 0.0)]
    with caplog.at_level(logging.WARNING):
        assert drives(places, TRAVEL, "own_map") == estimated(places, TRAVEL)
    assert "far_from_every_road" in caplog.text
    assert "54.7" not in caplog.text


def test_without_its_tiles_drives_are_guessed(settings: Settings, tmp_path: Path) -> None:
    settings.HEELWRIGHT_ROAD_TILES = str(tmp_path / "gone.tar")
    assert drives([MARKET, MILL], TRAVEL, "own_map").guessed
    with pytest.raises(NoRoads):
        embedded([MARKET, MILL], tmp_path / "gone.tar")


class Odd(BaseHTTPRequestHandler):
    """Answers 500, or with something that is no matrix."""

    said: list[bytes] = []

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        assert b"Market" not in body
        self.send_response(200 if self.said else 500)
        self.end_headers()
        self.wfile.write(self.said[0] if self.said else b"")

    def log_message(self, *_: Any) -> None: ...


@pytest.mark.parametrize("said", [None, b"", b"{}", b"[]", b'{"sources_to_targets": [[7]]}'])
def test_a_service_that_fails_is_never_more_than_a_guess(
    said: bytes | None, settings: Settings
) -> None:
    Odd.said = [] if said is None else [said]
    server = HTTPServer(("127.0.0.1", 0), Odd)
    Thread(target=server.serve_forever, daemon=True).start()
    settings.HEELWRIGHT_ROAD_SERVICE = f"http://127.0.0.1:{server.server_port}/"
    try:
        assert drives([MARKET, MILL], TRAVEL, "service").guessed
    finally:
        server.shutdown()
        server.server_close()
    # And now nobody is there at all.
    assert drives([MARKET, MILL], TRAVEL, "service").guessed
    settings.HEELWRIGHT_ROAD_SERVICE = "file:///etc/hosts"
    assert drives([MARKET, MILL], TRAVEL, "service").guessed


def test_many_places_are_asked_for_in_blocks_and_a_way_that_is_not_there_is_none() -> None:
    places = [at(n / 1000, 0.0) for n in range(2 * BLOCK + 7)]

    def ask(request: dict[str, Any]) -> Any:
        assert max(len(request["sources"]), len(request["targets"])) <= BLOCK
        return {
            "sources_to_targets": [
                [way(one["lat"], other["lat"]) for other in request["targets"]]
                for one in request["sources"]
            ]
        }

    def way(start: float, end: float) -> dict[str, float | None]:
        there = end >= start
        return {
            "time": round((end - start) * 1000) if there else None,
            "distance": 1.5 if there else None,
        }

    matrix = gathered(places, ask)
    size = range(len(places))
    expected = [[end - start if end >= start else None for end in size] for start in size]
    assert [list(row) for row in matrix.seconds] == expected
    assert matrix.metres[0][1] == 1500


@pytest.mark.django_db
def test_an_owner_chooses_what_the_server_has(world: World, settings: Settings) -> None:
    owner = world.owner
    assert owner.no("choose_roads", {"roads": "service"}) == "not_set_up"
    settings.HEELWRIGHT_ROAD_SERVICE = "http://127.0.0.1:1"
    owner.do("choose_roads", {"roads": "service"})
    assert world.technician.no("choose_roads", {"roads": "straight_lines"}) == "not_allowed"
    assert owner.no("choose_roads", {"roads": "by_boat"}) == "wrong_type"


def streets(way: list[Position]) -> float:
    inverse = Geodesic.WGS84.Inverse
    legs = (inverse(one.lat, one.lon, other.lat, other.lon) for one, other in pairwise(way))
    return sum(float(leg["s12"]) for leg in legs)


def metres_of(matrix: Matrix) -> int:
    metres = matrix.metres[0][1]
    assert metres is not None
    return metres
