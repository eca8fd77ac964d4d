"""What travel for work comes to by the official rates, tax year by tax year.

Pure; the twin is domain/trips/claim.ts, and both run tests/parity/miles.json. Whether a person may
claim it is not answered here: that is for their tax office.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from heelwright.money import rounded
from heelwright.rulebook.mileage_entries import MileageRate, Tax
from heelwright.trips.rules.travel import Leg, Travel, in_unit, standing, twice

# Of one rate one band, of the person or the vehicle whose distance is counted together.
LineKey = tuple[str, int, str]


@dataclass(frozen=True)
class Share:
    """What part of a leg fell into which band, counted from 0."""

    rate: str
    band: int
    tenths: int
    amount: Decimal


@dataclass
class Line:
    tenths: int = 0
    amount: Decimal = Decimal("0.00")


@dataclass
class Year:
    """A tax year, in tenths of the tax office's unit. `unconfirmed` is for work, and an estimate or
    not told, in `open_legs` legs; `twice` stands twice; for `without_rate` the book has no rate."""

    lines: dict[LineKey, Line] = field(default_factory=lambda: defaultdict(Line))
    unconfirmed: int = 0
    open_legs: int = 0
    twice: int = 0
    without_rate: int = 0
    commute: int = 0
    private: int = 0

    @property
    def tenths(self) -> int:
        return sum(line.tenths for line in self.lines.values())

    @property
    def amount(self) -> Decimal:
        return sum((line.amount for line in self.lines.values()), Decimal("0.00"))


@dataclass
class Claim:
    """`shares` are those of each leg, by the id of its travel and its place there. The amounts of
    all legs add up to those of the lines: each is what the rounded sum grew by."""

    years: dict[date, Year] = field(default_factory=lambda: defaultdict(Year))
    shares: dict[tuple[str, int], list[Share]] = field(default_factory=dict)


def year_of(day: date, tax: Tax) -> date:
    """The first day of the tax year in which a day lies."""
    starts = date.fromisoformat(f"{day.year}-{tax.year_starts}")
    return starts if day >= starts else starts.replace(year=day.year - 1)


def claim(told: Iterable[Travel], rates: Sequence[MileageRate], tax: Tax) -> Claim:
    stand = standing(told)
    doubled = twice(stand)
    found = Claim()
    reached: dict[tuple[date, str, tuple[str, ...]], int] = defaultdict(int)
    for travel in stand:
        start = year_of(travel.day, tax)
        year, rate = found.years[start], _rate(travel, rates)
        for place, leg in enumerate(travel.legs):
            tenths = in_unit(leg.tenths or 0, travel.unit, tax.unit)
            if travel.id in doubled:
                year.twice += tenths
            elif _not_claimed(year, leg, tenths):
                continue
            elif rate is None:
                year.without_rate += tenths
            else:
                who = travel.staff if rate.counted_by == "person" else travel.vehicle
                together = (start, who, tuple(rate.vehicles))
                parts = list(_parts(rate, reached[together], tenths))
                reached[together] += tenths
                found.shares[travel.id, place] = [
                    _entered(year, rate, band, who, part) for band, part in parts
                ]
    return found


def _rate(travel: Travel, rates: Iterable[MileageRate]) -> MileageRate | None:
    day = travel.day.isoformat()
    for rate in rates:
        if travel.kind in rate.vehicles and rate.from_ <= day <= (rate.until or day):
            return rate
    return None


def _not_claimed(year: Year, leg: Leg, tenths: int) -> bool:
    if leg.purpose == "private":
        year.private += tenths
    elif leg.purpose == "commute":
        year.commute += tenths
    elif leg.driven is None:
        year.unconfirmed += tenths
        year.open_legs += 1
    else:
        return False
    return True


def _parts(rate: MileageRate, reached: int, tenths: int) -> Iterator[tuple[int, int]]:
    """How much of the next `tenths` falls into which band, where `reached` were driven before."""
    for band, held in enumerate(rate.bands):
        room = tenths if held.up_to is None else min(tenths, max(0, held.up_to * 10 - reached))
        if room:
            yield band, room
        reached, tenths = reached + room, tenths - room


def _entered(year: Year, rate: MileageRate, band: int, who: str, tenths: int) -> Share:
    line = year.lines[rate.id, band, who]
    line.tenths += tenths
    before, line.amount = line.amount, _amount(line.tenths, rate.bands[band].rate)
    return Share(rate.id, band, tenths, line.amount - before)


def _amount(tenths: int, rate: str) -> Decimal:
    return rounded(tenths * Decimal(rate) / 10)
