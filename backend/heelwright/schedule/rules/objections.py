"""What speaks against a visit at a time. A person may mean it all the same.

All times are of the clock on the wall, in the practice's zone, as minutes of the visit's day. The
twin is `pwa/src/domain/schedule/objections.ts`.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal, get_args

Code = Literal[
    "day_off", "outside_hours", "in_break", "short_travel", "client_not_free", "too_late"
]
CODES: tuple[Code, ...] = get_args(Code)


@dataclass(frozen=True)
class Asked:
    """The visit that is asked for, on its day."""

    day: date
    starts: int
    minutes: int

    @property
    def ends(self) -> int:
        return self.starts + self.minutes


@dataclass(frozen=True)
class Other:
    """Another visit of the technician on that day. `drive` are the seconds that the way between the
    two doors is guessed to take; None where a door is not known."""

    starts: int
    ends: int
    drive: int | None = None


@dataclass(frozen=True)
class Around:
    """What is known of the technician's day, and of the client.

    `week` is the technician's working week, None where nobody has set one; `off` are the first and
    last days on which they, or the whole practice, do not work; `others` their other visits of that
    day; `free` the times at which the client is to be visited, empty for any; `latest` the last day
    that is in time for the client's next visit, where that was said.
    """

    week: Sequence[Mapping[str, Any]] | None
    off: Sequence[tuple[date, date]]
    others: Sequence[Other]
    free: Sequence[Mapping[str, Any]]
    latest: date | None


@dataclass(frozen=True)
class Squeeze:
    """Less time between two visits than the way takes, in minutes. `before` is the way to the visit
    that is asked for, else it is the one from there."""

    before: bool
    drive: int
    between: int


def objections(asked: Asked, around: Around) -> list[Code]:
    """Of a day off it says no more: the hours of such a day mean nothing."""
    found: list[Code] = []
    if any(first <= asked.day <= last for first, last in around.off):
        found.append("day_off")
    elif around.week is not None:
        found += _against_hours(asked, around, around.week)
    if squeezes(asked, around.others):
        found.append("short_travel")
    if around.free and not any(_within(asked, span) for span in around.free):
        found.append("client_not_free")
    if around.latest is not None and asked.day > around.latest:
        found.append("too_late")
    return found


def squeezes(asked: Asked, others: Sequence[Other]) -> list[Squeeze]:
    """From the visit before and to the one after. Two at one time are not for travel to say."""
    before = max((o for o in others if o.ends <= asked.starts), key=lambda o: o.ends, default=None)
    after = min((o for o in others if o.starts >= asked.ends), key=lambda o: o.starts, default=None)
    found = []
    if before is not None:
        found += _squeeze(before.drive, asked.starts - before.ends, before=True)
    if after is not None:
        found += _squeeze(after.drive, after.starts - asked.ends, before=False)
    return found


def _squeeze(drive: int | None, between: int, *, before: bool) -> list[Squeeze]:
    if drive is None or drive <= between * 60:
        return []
    return [Squeeze(before, -(-drive // 60), between)]


def _against_hours(asked: Asked, around: Around, week: Sequence[Mapping[str, Any]]) -> list[Code]:
    hours = next((day for day in week if _within(asked, day)), None)
    if hours is None:
        return ["outside_hours"]
    others = [(other.starts, other.ends) for other in around.others]
    taken = [*others, (asked.starts, asked.ends)]
    fits = all(_fits(pause, others) <= _fits(pause, taken) for pause in hours["breaks"])
    return [] if fits else ["in_break"]


def _within(asked: Asked, span: Mapping[str, Any]) -> bool:
    if span["weekday"] != asked.day.weekday():
        return False
    return minute_of(span["starts"]) <= asked.starts and asked.ends <= minute_of(span["ends"])


def _fits(pause: Mapping[str, Any], taken: Sequence[tuple[int, int]]) -> bool:
    """Whether a break finds its minutes between the visits."""
    free_from, until = minute_of(pause["earliest"]), minute_of(pause["latest"])
    for starts, ends in sorted(taken):
        if min(starts, until) - free_from >= pause["minutes"]:
            return True
        free_from = max(free_from, ends)
    return until - free_from >= int(pause["minutes"])


def minute_of(clock: str) -> int:
    """Of a time of day as HH:MM."""
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)
