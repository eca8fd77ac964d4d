"""The visits that are due in some days, over several technicians, as a problem; and the proposal
that answers it.

Times are seconds from one beginning, the same for all days. Places are numbers: rows and columns of
the matrix of drives.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from heelwright.planning.rules.problem import Break, Plan

# What a visit counts beside others where not all have room. A booked one stays, whoever waits.
LOCKED, OVERDUE, DUE, MAY_WAIT = 1000, 3, 2, 1

Reason = Literal[
    "no_door",
    "no_skill",
    "no_working_day",
    "times_do_not_meet",
    "too_far",
    "break_in_the_way",
    "no_room",
]
# Why nothing is added to a technician's day.
Kept = Literal["no_door", "too_tight", "full"]


@dataclass(frozen=True)
class Shift:
    """A technician's day. Without a `start` it begins at its first visit, without an `end` it ends
    at its last one. `midnight` is where the day begins."""

    staff: str
    midnight: int
    begins: int
    ends: int
    start: int | None = None
    end: int | None = None
    breaks: tuple[Break, ...] = ()
    skills: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Call:
    """A visit that is to be made on one of the days `within`, whole in one of the `periods`.

    `at` is None where nobody knows the door. `locked` is the shift of one that is booked; its
    period is its time.
    """

    at: int | None
    seconds: int
    within: tuple[int, int]
    periods: tuple[tuple[int, int], ...]
    weight: int = DUE
    skills: frozenset[str] = frozenset()
    preferred: str | None = None
    locked: int | None = None


@dataclass(frozen=True)
class Fortnight:
    """`drives` in seconds, from each place to each; None where there is no way."""

    shifts: tuple[Shift, ...]
    calls: tuple[Call, ...]
    drives: Sequence[Sequence[int | None]]
    grid: int = 300


@dataclass(frozen=True)
class Worked:
    """What is proposed for a shift: `plan` names its stops by their place in `calls`. Where it is
    `kept`, only what was booked is in it, as it was."""

    calls: tuple[int, ...]
    plan: Plan
    kept: Kept | None = None

    def placed(self) -> list[int]:
        return [self.calls[visit.stop] for visit in self.plan.visits]


@dataclass(frozen=True)
class Unplaced:
    call: int
    reason: Reason


@dataclass(frozen=True)
class Proposal:
    """One `Worked` for each shift, in their order."""

    days: tuple[Worked, ...]
    unplaced: tuple[Unplaced, ...]
