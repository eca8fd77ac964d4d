"""The made-up town of `town.osm`: its corners, its tiles, and a road service over them."""

import importlib
import json
import socket
import subprocess
import sys
import tarfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType
from typing import Any

import osmium

from heelwright.places.position import Position

HERE = Path(__file__).resolve().parent
PROGRAMS = HERE.parents[2] / "var" / "roads" / "valhalla"
BUILDER = PROGRAMS / "bin" / "valhalla_build_tiles"


def at(lat: float, lon: float) -> Position:
    return Position(lat=lat, lon=lon, source="typed", accuracy_m=None)


MARKET, CORNER = at(54.70000, 2.50000), at(54.70000, 2.51550)
BRIDGE_END, MILL, FORD = at(54.70900, 2.51550), at(54.70900, 2.50000), at(54.70450, 2.46000)


def built(folder: Path) -> Path:
    """Tiles of the town in one tar."""
    packed = folder / "town.osm.pbf"
    with osmium.SimpleWriter(str(packed)) as writer:
        for part in osmium.FileProcessor(str(HERE / "town.osm")):
            writer.add(part)
    tiles, tar = folder / "tiles", folder / "tiles.tar"
    tiles.mkdir()
    tar.touch()
    config = config_of(tar, tiles)
    del config["mjolnir"]["tile_extract"]
    config_path = written(folder / "build.json", config)
    made = [str(BUILDER), "-c", str(config_path), str(packed)]
    subprocess.run(made, check=True, capture_output=True, timeout=60)
    with tarfile.open(tar, "w") as archive:
        archive.add(tiles, arcname=".")
    return tar


def config_of(tar: Path, tiles: Path) -> dict[str, Any]:
    """As the programs of that version want it; the module that is installed may be another."""
    package = ModuleType("road_programs")
    package.__path__ = [str(PROGRAMS)]
    sys.modules[package.__name__] = package
    read = importlib.import_module("road_programs.config").get_config
    config: dict[str, Any] = read(tile_extract=str(tar), tile_dir=str(tiles))
    return config


def written(path: Path, config: dict[str, Any]) -> Path:
    path.write_text(json.dumps(config))
    return path


@contextmanager
def service(tiles: Path, folder: Path) -> Iterator[str]:
    """The address of a service over the tiles, which ends with the block."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    config = config_of(tiles, folder)
    config["httpd"]["service"] |= {"listen": f"tcp://127.0.0.1:{port}"} | {
        name: f"ipc://{folder / name}" for name in ("loopback", "interrupt")
    }
    for part in ("loki", "thor", "odin"):
        config[part]["service"]["proxy"] = f"ipc://{folder / part}"
    path = written(folder / "service.json", config)
    started = [str(PROGRAMS / "bin" / "valhalla_service"), str(path), "1"]
    with subprocess.Popen(started, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as running:
        try:
            _wait(port)
            yield f"http://127.0.0.1:{port}"
        finally:
            running.kill()


def _wait(port: int) -> None:
    until = time.monotonic() + 20
    while time.monotonic() < until:
        with socket.socket() as tried:
            if tried.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.05)
    raise TimeoutError("the road service did not come up")
