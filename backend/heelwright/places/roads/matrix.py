"""From each of some places to each: seconds and metres. No Django."""

from dataclasses import dataclass
from typing import Literal

Row = tuple[int | None, ...]


@dataclass(frozen=True)
class Matrix:
    """From each place, by its row, to each, by its column; None where there is no way.

    `guessed`: from straight lines, and not by the roads.
    """

    seconds: tuple[Row, ...]
    metres: tuple[Row, ...]
    guessed: bool


Why = Literal[
    "extra_not_installed",
    "no_such_tiles",
    "tiles_not_readable",
    "far_from_every_road",
    "not_an_address",
    "no_answer",
    "answer_of_another_shape",
]


class NoRoads(Exception):
    """The road map did not answer; `code` says why, for whoever runs the server."""

    def __init__(self, code: Why) -> None:
        super().__init__(code)
        self.code = code
