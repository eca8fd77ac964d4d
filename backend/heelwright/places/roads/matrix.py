"""From each of some places to each: seconds and metres. No Django."""

from dataclasses import dataclass

Row = tuple[int | None, ...]


@dataclass(frozen=True)
class Matrix:
    """From each place, by its row, to each, by its column; None where there is no way.

    `guessed`: from straight lines, and not by the roads.
    """

    seconds: tuple[Row, ...]
    metres: tuple[Row, ...]
    guessed: bool


class NoRoads(Exception):
    """The road map did not answer. Says why for whoever runs the server, and names no place."""
