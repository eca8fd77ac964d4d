"""A day of travel, and which of those told still stand. Distances are in tenths of the vehicle's
own unit, as an odometer shows them."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from heelwright.rulebook.mileage_entries import Unit, VehicleKind

Purpose = Literal[
    "client", "facility", "supplies", "training", "meeting", "other", "commute", "private"
]
# How a distance is known. An estimate was driven by nobody, and is never claimed.
Known = Literal["odometer", "mapped", "typed", "estimate"]
NOT_FOR_WORK: frozenset[Purpose] = frozenset({"commute", "private"})
# A mile is 1609.344 m: as many of the other unit in a million of the one.
PER_MILLION: dict[tuple[Unit, Unit], tuple[int, int]] = {
    ("mile", "km"): (1_609_344, 1_000_000),
    ("km", "mile"): (1_000_000, 1_609_344),
}


@dataclass(frozen=True)
class Leg:
    """`tenths` is None where nobody has said how far it was."""

    purpose: Purpose
    tenths: int | None
    known: Known

    @property
    def is_work(self) -> bool:
        return self.purpose not in NOT_FOR_WORK

    @property
    def driven(self) -> int | None:
        return None if self.known == "estimate" else self.tenths


@dataclass(frozen=True)
class Travel:
    """`replaces` are earlier ones that this one corrects; `odometer` is what it showed before the
    first way and after the last."""

    id: str
    staff: str
    vehicle: str
    kind: VehicleKind
    unit: Unit
    day: date
    legs: tuple[Leg, ...]
    replaces: tuple[str, ...] = ()
    odometer: tuple[int | None, int | None] = (None, None)


def in_unit(tenths: int, have: Unit, want: Unit) -> int:
    """Rounded to tenths, a half up."""
    if have == want:
        return tenths
    times, per = PER_MILLION[have, want]
    return (2 * tenths * times + per) // (2 * per)


def standing(told: Iterable[Travel]) -> list[Travel]:
    """Those that no other one replaces, in the order of days."""
    known = list(told)
    gone = {id_ for travel in known for id_ in travel.replaces}
    left = (travel for travel in known if travel.id not in gone)
    return sorted(left, key=lambda travel: (travel.day, travel.id))


def twice(stand: Iterable[Travel]) -> set[str]:
    """Those that tell of one day and vehicle beside each other: two phones did not know of each
    other, and a person must say which is right."""
    stand = list(stand)
    told = Counter((travel.vehicle, travel.day) for travel in stand)
    return {travel.id for travel in stand if told[travel.vehicle, travel.day] > 1}
