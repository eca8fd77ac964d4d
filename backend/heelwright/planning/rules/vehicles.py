"""A fortnight as PyVRP has it: each shift a vehicle of its own, with its own roads.

Those to a client whom it can't take are closed, and those to one who prefers somebody else, or is
overdue and would be seen late, are longer. Time is that of the clock in each shift's own day. A
client whose times differ from day to day is there once for each, and visited once. The minutes of
the breaks are dear, since a break may fit into a wait: where it lies, and whether it does, the
exact method says.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pyvrp
from pyvrp.constants import MAX_VALUE

from heelwright.planning.rules.exact import MOST_STOPS
from heelwright.planning.rules.fortnight import Fortnight, Worked
from heelwright.planning.rules.shift import day_of, dislike

# PyVRP's stubs name its shape in a way of their own.
Matrix = np.ndarray[Any, Any]

# More driving than any visit costs: one more visit is always worth it.
PRIZE_S = 7 * 24 * 3600
# What a second of a shift beyond all but its breaks costs, in seconds of driving.
INTO_A_BREAK = 40
# Rows times columns times shifts: with PyVRP's own copy a quarter of a gigabyte.
MOST_CELLS = 8_000_000


class TooMuch(Exception):
    """More than the memory of a small server holds."""


@dataclass(frozen=True)
class Copy:
    """A client at the same time of day in some shifts."""

    call: int
    earliest: int
    latest: int
    shifts: frozenset[int]


def copies_of(fortnight: Fortnight, takers: Mapping[int, Sequence[int]]) -> list[Copy]:
    """Within the hours that anybody has: so that all days without times of their own are alike."""
    opens = min(shift.begins - shift.midnight for shift in fortnight.shifts)
    closes = max(shift.ends - shift.midnight for shift in fortnight.shifts)
    found = []
    for number, theirs in takers.items():
        call = fortnight.calls[number]
        at: dict[tuple[int, int], set[int]] = defaultdict(set)
        for shift in theirs:
            midnight = fortnight.shifts[shift].midnight
            for first, last in call.periods:
                begin, end = first - midnight, last - midnight
                if call.locked is None:
                    begin, end = max(begin, opens), min(end, closes)
                if begin <= end - call.seconds:
                    at[begin, end - call.seconds].add(shift)
        found += [Copy(number, *window, frozenset(on)) for window, on in sorted(at.items())]
    return found


def data_of(
    fortnight: Fortnight, days: Sequence[Worked], shifts: Sequence[int], copies: Sequence[Copy]
) -> pyvrp.ProblemData:
    """The first place is nowhere: it is no way from there, for days that begin at a visit."""
    ends = {p for n in shifts for p in (fortnight.shifts[n].start, fortnight.shifts[n].end)}
    homes = sorted(place for place in ends if place is not None)
    places: list[int | None] = [None, *homes, *(fortnight.calls[c.call].at for c in copies)]
    if len(shifts) * len(places) ** 2 > MOST_CELLS:
        raise TooMuch
    driving = np.array([[_drive(fortnight, a, b) for b in places] for a in places], dtype=np.int64)
    lasting = driving.copy()
    clients = len(homes) + 1
    # Whoever arrives waits for the grid; at the end of the day nobody does.
    lasting[:, clients:] = -(-lasting[:, clients:] // fortnight.grid) * fortnight.grid
    lasting[driving >= MAX_VALUE] = MAX_VALUE
    roads = _Roads(driving, lasting, clients)
    vehicles = []
    for number in shifts:
        shift = fortnight.shifts[number]
        day = day_of(fortnight, number, days[number].calls)
        pauses = sum(pause.seconds for pause in day.breaks)
        vehicles.append(
            pyvrp.VehicleType(
                capacity=[MOST_STOPS],
                start_depot=places.index(shift.start),
                end_depot=places.index(shift.end),
                tw_early=day.begins - shift.midnight,
                tw_late=day.ends - shift.midnight,
                shift_duration=day.ends - day.begins - pauses,
                max_overtime=pauses,
                unit_overtime_cost=INTO_A_BREAK,
                profile=roads.of([_extra(fortnight, number, copy) for copy in copies]),
            )
        )
    groups, stops = _clients(fortnight, copies, clients)
    return pyvrp.ProblemData(
        [pyvrp.Location(0, 0) for _ in places],
        stops,
        [pyvrp.Depot(place) for place in range(clients)],
        vehicles,
        roads.driving,
        roads.lasting,
        groups,
    )


class _Roads:
    """The matrices: one pair for all shifts that may take the same clients at the same cost."""

    def __init__(self, driving: Matrix, lasting: Matrix, clients: int) -> None:
        self._base = (driving, lasting, clients)
        self._known: dict[tuple[int, ...], int] = {}
        self.driving: list[Matrix] = []
        self.lasting: list[Matrix] = []

    def of(self, extra: Sequence[int]) -> int:
        """The number of the pair where the ways to each copy are so much longer."""
        key = tuple(extra)
        if key not in self._known:
            self._known[key] = len(self.driving)
            driving, lasting, clients = self._base
            closed = np.array([False] * clients + [more >= MAX_VALUE for more in extra])
            far = np.minimum(driving + np.array([0] * clients + list(extra)), MAX_VALUE)
            self.driving.append(_no_way_to_oneself(far))
            slow = lasting.copy()
            slow[:, closed] = MAX_VALUE
            self.lasting.append(_no_way_to_oneself(slow))
        return self._known[key]


def _no_way_to_oneself(matrix: Matrix) -> Matrix:
    np.fill_diagonal(matrix, 0)
    return matrix


def _extra(fortnight: Fortnight, number: int, copy: Copy) -> int:
    return dislike(fortnight, number, copy.call) if number in copy.shifts else MAX_VALUE


def _drive(fortnight: Fortnight, start: int | None, end: int | None) -> int:
    if start is None or end is None:
        return 0
    way = fortnight.drives[start][end]
    return MAX_VALUE if way is None else way


def _clients(
    fortnight: Fortnight, copies: Sequence[Copy], first: int
) -> tuple[list[pyvrp.ClientGroup], list[pyvrp.Client]]:
    groups: list[pyvrp.ClientGroup] = []
    stops = []
    of_call: dict[int, list[int]] = defaultdict(list)
    for number, copy in enumerate(copies):
        of_call[copy.call].append(number)
    group_of = {}
    for call, theirs in of_call.items():
        if len(theirs) > 1:
            group_of[call] = len(groups)
            groups.append(pyvrp.ClientGroup(theirs, required=False))
    for number, copy in enumerate(copies):
        asked = fortnight.calls[copy.call]
        stops.append(
            pyvrp.Client(
                location=first + number,
                delivery=[1],
                service_duration=asked.seconds,
                tw_early=copy.earliest,
                tw_late=copy.latest,
                prize=asked.weight * PRIZE_S,
                required=False,
                group=group_of.get(copy.call),
            )
        )
    return groups, stops
