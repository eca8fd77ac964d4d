"""Where a post code is: by the package `zipcodes` in the United States, elsewhere by a table that
who runs the server has put there (`HEELWRIGHT_POST_CODES`). Nobody else is asked."""

import csv
from functools import lru_cache
from pathlib import Path

import zipcodes
from django.conf import settings

from heelwright.places.position import Position

COLUMNS = ("post_code", "lat", "lon")


class BadTable(Exception):
    """`code` is not_read, no_column or no_position; `line_count` how many lines were read, the
    bad one included."""

    def __init__(self, code: str, line_count: int) -> None:
        super().__init__(f"{code}, line {line_count}")
        self.code = code
        self.line_count = line_count


def find(place: str, post_code: str) -> Position | None:
    """None where it is not known. `place` is the practice's. How large the area is, nobody says."""
    if place == "us":
        return _in_the_us(post_code)
    path = settings.HEELWRIGHT_POST_CODES
    return read_table(Path(path)).get(plain(post_code)) if path else None


def plain(post_code: str) -> str:
    return "".join(post_code.split()).upper()


def _in_the_us(post_code: str) -> Position | None:
    try:
        found = zipcodes.matching(plain(post_code))  # type: ignore[no-untyped-call] # it has no types
    except (TypeError, ValueError):  # Empty, or not of its form.
        return None
    return _position(found[0]["lat"], found[0]["long"]) if found else None


def _position(lat: str, lon: str) -> Position:
    return Position(lat=float(lat), lon=float(lon), source="post_code", accuracy_m=None)


@lru_cache(maxsize=1)
def read_table(path: Path) -> dict[str, Position]:
    """Read once: a new table counts from the next start. Raises BadTable."""
    line = 1
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = csv.DictReader(file)
            if set(COLUMNS) - set(rows.fieldnames or ()):
                raise BadTable("no_column", line)
            found = {}
            for row in rows:
                line = rows.line_num
                found[plain(row["post_code"])] = _position(row["lat"], row["lon"])
            return found
    except (OSError, UnicodeDecodeError, csv.Error):
        raise BadTable("not_read", line) from None
    except (AttributeError, TypeError, ValueError):  # A cell is missing, or is no such number.
        raise BadTable("no_position", line) from None
