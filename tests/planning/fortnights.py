"""Fortnights for the planner: invented, by a seed."""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from heelwright.places.roads import Matrix, estimated
from heelwright.places.rules import Band, Travel
from heelwright.planning.rules.fortnight import (
    DUE,
    MAY_WAIT,
    OVERDUE,
    Call,
    Fortnight,
    Shift,
    Worked,
)
from heelwright.planning.rules.problem import Break

DAY = 86_400
HOUR = 3600
SKILL = frozenset({"nail surgery"})
TRAVEL = Travel(130, (Band(5_000, 30), Band(20_000, 50), Band(None, 70)))


@dataclass(frozen=True)
class Spot:
    """Somewhere about a town and the villages around it."""

    lat: float
    lon: float


def fortnight(
    rng: Random, technicians: int = 5, clients: int = 150, days: int = 10
) -> tuple[Fortnight, Matrix]:
    """Two weeks of working days from nine to three with half an hour of break, each technician on
    most of them. Of the clients a fifth are overdue and a quarter may wait; a third are to be
    visited at some time of day only, one in eight needs a skill, one in three prefers somebody, and
    nobody knows the door of one in fifty. The clients are in the order in which they fall due."""
    spots = [
        Spot(51.5 + rng.gauss(0, 0.09), -0.5 + rng.gauss(0, 0.14))
        for _ in range(technicians + clients)
    ]
    roads = estimated(spots, TRAVEL)
    midnights = [(day + day // 5 * 2) * DAY for day in range(days)]
    shifts = tuple(
        Shift(
            staff=str(who),
            midnight=midnight,
            begins=midnight + 9 * HOUR,
            ends=midnight + 15 * HOUR,
            start=who,
            end=who,
            breaks=(Break(midnight + 12 * HOUR, midnight + 13 * HOUR, 1800),),
            skills=SKILL if who < 2 else frozenset(),
        )
        for midnight in midnights
        for who in range(technicians)
        if rng.random() < 0.8
    )
    calls = [_call(rng, technicians, technicians + number, midnights) for number in range(clients)]
    in_order = tuple(
        sorted(calls, key=lambda call: call.within[1] - (call.weight == OVERDUE) * 30 * DAY)
    )
    return Fortnight(shifts, in_order, roads.seconds), roads


def _call(rng: Random, technicians: int, place: int, midnights: list[int]) -> Call:
    kind = rng.random()
    weight = OVERDUE if kind < 0.2 else MAY_WAIT if kind < 0.45 else DUE
    first = 0 if weight == OVERDUE else rng.choice(midnights)
    last = midnights[-1] if weight == OVERDUE else min(first + 7 * DAY, midnights[-1])
    within = (first, last + DAY)
    opens, closes = rng.choice([(0, 24)] * 4 + [(9, 12), (13, 15)])
    periods = tuple((day + opens * HOUR, day + closes * HOUR) for day in midnights)
    return Call(
        at=None if rng.random() < 0.02 else place,
        seconds=rng.choice([30, 40, 45, 60]) * 60,
        within=within,
        periods=tuple(p for p in periods if within[0] <= p[0] < within[1]) if opens else (within,),
        weight=weight,
        skills=SKILL if rng.random() < 0.125 else frozenset(),
        preferred=str(rng.randrange(technicians)) if rng.random() < 0.33 else None,
    )


def driven(asked: Fortnight, ways: Sequence[Sequence[int | None]], days: Sequence[Worked]) -> int:
    """Metres or seconds, of all days, from home and back."""
    whole = 0
    for shift, day in zip(asked.shifts, days, strict=True):
        stops = [asked.calls[call].at for call in day.placed()]
        places = [shift.start, *stops, shift.end] if stops else []
        for start, end in itertools.pairwise(places):
            assert start is not None
            assert end is not None
            way = ways[start][end]
            assert way is not None
            whole += way
    return whole


def preferred(asked: Fortnight, days: Sequence[Worked]) -> int:
    """How many are seen by whom they prefer."""
    return sum(
        asked.calls[call].preferred == shift.staff
        for shift, day in zip(asked.shifts, days, strict=True)
        for call in day.placed()
    )
