"""Where a post code is. Check values: the package's own table for the US (public data of the postal
service and the census, read in `zipcodes`); the rest is our own rule."""

import json
from pathlib import Path
from typing import Any

import pytest
from pytest_django import Settings

from heelwright.places.post_codes import BadTable, find, read_table
from tests.sync.http import Wire, told
from tests.world import World

TABLE = "post_code,lat,lon\nQM1 2AB,54.7,2.5\nqm1 2ac,54.71,2.51\n"


@pytest.fixture
def table(tmp_path: Path, settings: Settings) -> Path:
    path = tmp_path / "codes.csv"
    path.write_text(TABLE, encoding="utf-8")
    settings.HEELWRIGHT_POST_CODES = str(path)
    return path


@pytest.mark.parametrize("code", ["02139", " 02139 ", "02139-1234"])
def test_in_the_us_by_the_package(code: str) -> None:
    found = find("us", code)
    # Cambridge, Massachusetts lies at about 42.37 N, 71.11 W (from memory).
    assert found is not None and found.source == "post_code"
    assert (round(found.lat, 1), round(found.lon, 1)) == (42.4, -71.1)


@pytest.mark.parametrize("code", ["99999", "abc", "", "  ", "0213"])
def test_what_is_no_code_is_not_known(code: str) -> None:
    assert find("us", code) is None


@pytest.mark.parametrize("code", ["QM1 2AB", "qm12ab", " QM1  2ab "])
def test_elsewhere_by_a_table_of_the_server(table: Path, code: str) -> None:
    found = find("uk", code)
    assert found is not None and (found.lat, found.lon) == (54.7, 2.5)
    assert find("uk", "QM9 9ZZ") is None


def test_without_a_table_nothing_is_known() -> None:
    assert find("uk", "QM1 2AB") is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("code,lat,lon\n", "no_column, line 1"),
        ("post_code,lat,lon\nQM1,1,2\nQM2,91,2\n", "no_position, line 3"),
        ("post_code,lat,lon\nQM1,north,2\n", "line 2"),
        ("post_code,lat,lon\nQM1,1\n", "line 2"),
    ],
)
def test_a_table_that_is_none_names_its_fault(tmp_path: Path, text: str, says: str) -> None:
    path = tmp_path / "codes.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadTable, match=says):
        read_table(path)
    with pytest.raises(BadTable, match="not_read"):
        read_table(tmp_path / "none.csv")


def ask(world: World, post_code: Any, **more: Any) -> Any:
    wire = Wire(world.technician)
    body = {"protocol": 2, "device": str(world.technician.device.pk), "post_code": post_code}
    return wire.post("/api/places/post_code", body, **more)


def test_a_phone_asks_its_own_server(world: World, table: Path) -> None:
    found = {"lat": 54.7, "lon": 2.5, "source": "post_code", "accuracy_m": None}
    assert json.loads(ask(world, "QM1 2AB").content) == {"position": found}
    assert json.loads(ask(world, "QM9 9ZZ").content) == {"position": None}
    assert ask(world, "QM1 2AB", token=None).status_code == 401
    for wrong in ("", "x" * 21, 7):
        reply = ask(world, wrong)
        assert (reply.status_code, told(reply)["field"]) == (422, "post_code")


def test_a_broken_table_is_told_and_a_post_code_stands_in_no_log(
    world: World, table: Path, caplog: pytest.LogCaptureFixture
) -> None:
    table.write_text("post_code,lat,lon\nQM1 2AB,north,2.5\n", encoding="utf-8")
    reply = ask(world, "QM1 2AB")
    assert (reply.status_code, told(reply)["code"]) == (400, "post_codes_unreadable")
    assert "line 2" in caplog.text
    assert "QM1" not in caplog.text
