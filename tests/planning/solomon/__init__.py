"""Published instances of vehicles, customers and times: M. M. Solomon, Operations Research 35(2),
1987; 100 customers each.

Best-known total distances, with distances cut to one decimal and any number of vehicles (the
convention of the DIMACS challenge of 2021): RC208 from PyVRP's own test data, the others from
memory.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from pathlib import Path

import numpy as np
import pyvrp

from heelwright.planning.rules.fortnight import Call, Fortnight, Proposal, Shift
from heelwright.planning.rules.vehicles import Matrix

BEST_KNOWN = {
    "C101": 8273,
    "C201": 5891,
    "R101": 16377,
    "R201": 11432,
    "RC101": 16198,
    "RC208": 7761,
}
# Twelve customers and less on a route, and room for more load: it fits the days of technicians.
SHORT_ROUTES = ("R101",)


@dataclass(frozen=True)
class Customer:
    x: int
    y: int
    demand: int
    opens: int
    closes: int
    seconds: int


@dataclass(frozen=True)
class Instance:
    """All numbers in tenths; the first customer is the depot."""

    vehicles: int
    capacity: int
    customers: tuple[Customer, ...]

    @property
    def ways(self) -> list[list[int]]:
        return [
            [int(10 * hypot(a.x - b.x, a.y - b.y)) for b in self.customers] for a in self.customers
        ]


def instance(name: str) -> Instance:
    lines = (Path(__file__).parent / f"{name}.txt").read_text().split("\n")
    rows = [[int(word) for word in line.split()] for line in lines if line.strip()[:1].isdigit()]
    (vehicles, capacity), *customers = rows
    return Instance(
        vehicles,
        capacity,
        tuple(
            Customer(x, y, demand, opens * 10, closes * 10, seconds * 10)
            for _, x, y, demand, opens, closes, seconds in customers
        ),
    )


def as_data(asked: Instance) -> pyvrp.ProblemData:
    """As the solver has it."""
    depot, *others = asked.customers
    ways: Matrix = np.array(asked.ways, dtype=np.int64)
    return pyvrp.ProblemData(
        [pyvrp.Location(c.x, c.y) for c in asked.customers],
        [
            pyvrp.Client(
                location=number,
                delivery=[c.demand],
                service_duration=c.seconds,
                tw_early=c.opens,
                tw_late=c.closes,
            )
            for number, c in enumerate(others, start=1)
        ],
        [pyvrp.Depot(0)],
        [
            pyvrp.VehicleType(
                num_available=asked.vehicles,
                capacity=[asked.capacity],
                tw_early=depot.opens,
                tw_late=depot.closes,
            )
        ],
        [ways],
        [ways],
    )


def as_fortnight(asked: Instance) -> Fortnight:
    """As many technicians on one day; a unit of time is a second of ours. What they can carry is
    left out."""
    depot, *others = asked.customers
    shift = Shift("", 0, depot.opens, depot.closes, start=0, end=0)
    calls = [
        Call(
            at=number,
            seconds=c.seconds,
            within=(depot.opens, depot.closes),
            periods=((c.opens, c.closes + c.seconds),),
        )
        for number, c in enumerate(others, start=1)
    ]
    return Fortnight((shift,) * asked.vehicles, tuple(calls), asked.ways, grid=1)


def heaviest(asked: Instance, found: Proposal) -> int:
    """The largest load of a day of a proposal."""
    return max(_load(asked, day.placed()) for day in found.days)


def _load(asked: Instance, placed: Sequence[int]) -> int:
    return sum(asked.customers[call + 1].demand for call in placed)
