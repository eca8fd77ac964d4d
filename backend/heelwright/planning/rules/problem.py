"""A technician's day as a problem, and the plan that answers it.

All times are seconds from one beginning, the same for the whole day, such as its midnight: a day
with a clock change is as long as it is. The twin is `domain/planning/problem.ts`.
"""

from dataclasses import dataclass
from typing import Literal

# Between two stops as with the start and the end; None where there is no way.
Matrix = tuple[tuple[int | None, ...], ...]

Reason = Literal["outside_hours", "too_far", "break_in_the_way", "no_room"]


@dataclass(frozen=True)
class Stop:
    """`windows` are the earliest and latest times at which the work may begin, in their order; one
    of a single moment is a fixed time. `weight` is what it counts beside others where not all have
    room; on a phone all count alike."""

    seconds: int
    windows: tuple[tuple[int, int], ...]
    weight: int = 1


@dataclass(frozen=True)
class Break:
    """Taken where the technician is, between stops. It begins in its window; a day that is over by
    `latest` needs none."""

    earliest: int
    latest: int
    seconds: int


@dataclass(frozen=True)
class Day:
    """`drives[i][j]` leads from stop i to stop j, `first[j]` from the start of the day to stop j,
    `last[i]` from stop i to its end; both are 0 where the day starts or ends at a stop.

    Where a stop begins later than it could have at the earliest, it begins on the `grid`. Breaks
    are taken in their order.
    """

    begins: int
    ends: int
    stops: tuple[Stop, ...]
    drives: Matrix
    first: tuple[int | None, ...]
    last: tuple[int | None, ...]
    breaks: tuple[Break, ...] = ()
    grid: int = 1


@dataclass(frozen=True)
class Visit:
    stop: int
    arrives: int
    begins: int


@dataclass(frozen=True)
class Left:
    """A stop that has no place in the day, and why."""

    stop: int
    reason: Reason


@dataclass(frozen=True)
class Plan:
    """`breaks` are the times at which they begin; `end` is the arrival at the end of the day."""

    driving: int
    end: int
    visits: tuple[Visit, ...] = ()
    breaks: tuple[int, ...] = ()
    left: tuple[Left, ...] = ()
