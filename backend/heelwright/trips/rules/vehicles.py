"""How far each vehicle went in each tax year, for work and otherwise: what a tax office asks of a
vehicle beside the claim. The twin is domain/trips/vehicles.ts; both run tests/parity/miles.json."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from heelwright.rulebook.mileage_entries import Tax
from heelwright.trips.rules.claim import year_of
from heelwright.trips.rules.travel import Leg, Travel, standing, twice


@dataclass
class VehicleYear:
    """In tenths of the vehicle's own unit. `open` is for work and not to be counted: an estimate,
    or of a day that stands twice. `first` and `last` are what the odometer showed at the first and
    the last of the days on which it was read."""

    work: int = 0
    commute: int = 0
    private: int = 0
    open: int = 0
    first: int | None = None
    last: int | None = None

    @property
    def untold(self) -> int | None:
        """What the odometer counted beyond all ways that were told; None where it was not read."""
        if self.first is None or self.last is None:
            return None
        return max(0, self.last - self.first - self.work - self.commute - self.private - self.open)


def by_vehicle(told: Iterable[Travel], tax: Tax) -> dict[date, dict[str, VehicleYear]]:
    """By the first day of the tax year, then by vehicle."""
    stand = standing(told)
    doubled = twice(stand)
    years: dict[date, dict[str, VehicleYear]] = defaultdict(lambda: defaultdict(VehicleYear))
    for travel in stand:
        year = years[year_of(travel.day, tax)][travel.vehicle]
        for reading in filter(lambda shown: shown is not None, travel.odometer):
            year.first = reading if year.first is None else year.first
            year.last = reading
        for leg in travel.legs:
            _enter(year, leg, travel.id in doubled)
    return years


def _enter(year: VehicleYear, leg: Leg, doubled: bool) -> None:
    tenths = leg.tenths or 0
    if doubled or (leg.is_work and leg.driven is None):
        year.open += tenths
    elif leg.purpose == "commute":
        year.commute += tenths
    elif leg.purpose == "private":
        year.private += tenths
    else:
        year.work += tenths
