"""Sharing visits out over technicians and days, by PyVRP (decision 0184)."""

import time
import warnings
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import pyvrp
from pyvrp.exceptions import PenaltyBoundWarning

from heelwright.planning.rules.exact import MOST_STOPS
from heelwright.planning.rules.fortnight import Fortnight, Worked
from heelwright.planning.rules.vehicles import Copy, copies_of, data_of

# It speaks of problems that may have no answer; here everybody may stay out.
warnings.filterwarnings("ignore", category=PenaltyBoundWarning)


@dataclass(frozen=True)
class Effort:
    """It ends after so many rounds that found nothing better, or when the time is up."""

    seed: int = 1
    patience: int = 5_000
    seconds: float = 60


class Stop:
    """Says when PyVRP is to end, and how far it has come."""

    def __init__(self, effort: Effort, hear: Callable[[float], None]) -> None:
        self._effort = effort
        self._hear = hear
        self._began = time.monotonic()
        self._best: float = float("inf")
        self._stale = 0

    def __call__(self, best_cost: float) -> bool:
        gone = time.monotonic() - self._began
        self._hear(min(1.0, gone / self._effort.seconds))
        self._stale = 0 if best_cost < self._best else self._stale + 1
        self._best = min(self._best, best_cost)
        return self._stale >= self._effort.patience or gone >= self._effort.seconds


def share_out(
    fortnight: Fortnight,
    days: Sequence[Worked],
    takers: Mapping[int, Sequence[int]],
    outset: Sequence[Worked],
    effort: Effort,
    hear: Callable[[float], None],
) -> list[list[int]]:
    """For each shift its visits in their order, with those that are booked. Begins with those of
    `outset`. Raises TooMuch."""
    booked = {call: [n] for n, day in enumerate(days) if day.kept is None for call in day.calls}
    copies = copies_of(fortnight, {**booked, **takers})
    shifts = [n for n, day in enumerate(days) if day.kept is None]
    data = data_of(fortnight, days, shifts, copies)
    found = solve(data, effort, hear, _outset(data, outset, shifts, copies))
    shares = [day.placed() for day in days]
    for route in found.routes() if found.is_feasible() else ():
        calls = [copies[step.idx].call for step in route if step.is_client()]
        number = shifts[route.vehicle_type()]
        lost = [call for call in days[number].calls if call not in calls]
        shares[number] = [*lost, *calls][:MOST_STOPS]
    return shares


def solve(
    data: pyvrp.ProblemData,
    effort: Effort,
    hear: Callable[[float], None] = lambda _: None,
    outset: pyvrp.Solution | None = None,
) -> pyvrp.Solution:
    result = pyvrp.solve(
        data,
        Stop(effort, hear),
        seed=effort.seed,
        collect_stats=False,
        display=False,
        initial_solution=outset,
    )
    return result.best


def _outset(
    data: pyvrp.ProblemData,
    outset: Sequence[Worked],
    shifts: Sequence[int],
    copies: Sequence[Copy],
) -> pyvrp.Solution:
    routes = []
    for vehicle, number in enumerate(shifts):
        stops = []
        for visit in outset[number].plan.visits:
            call = outset[number].calls[visit.stop]
            stops += [
                n for n, copy in enumerate(copies) if copy.call == call and number in copy.shifts
            ][:1]
        if stops:
            routes.append(pyvrp.Route(data, stops, vehicle))
    return pyvrp.Solution(data, routes)
