"""The vectors of miles as the rules take them, and random years beyond them."""

from collections.abc import Mapping
from datetime import date, timedelta
from random import Random
from typing import Any

from heelwright.rulebook import overlays
from heelwright.trips.rules.claim import claim
from heelwright.trips.rules.travel import Leg, Travel
from heelwright.trips.rules.vehicles import VehicleYear, by_vehicle
from tests.parity.vectors import book_of

YEAR_FIELDS = ("unconfirmed", "open_legs", "twice", "without_rate", "commute", "private", "tenths")
PLACES = overlays()
USUAL = {
    "staff": "ann",
    "vehicle": "A",
    "kind": "car",
    "purpose": "client",
    "known": "typed",
    "replaces": [],
    "odometer": [None, None],
}


def rates_by_place() -> dict[str, Any]:
    """What the phone's tests need of the books."""
    books = {place: book_of(place).as_json() for place in PLACES}
    parts = ("tax", "mileage_rates")
    return {place: {part: book[part] for part in parts} for place, book in books.items()}


def travels_of(case: Mapping[str, Any]) -> list[Travel]:
    return [_travel(n, row, case["place"]) for n, row in enumerate(case["travel"])]


def _travel(n: int, row: list[Any], place: str) -> Travel:
    day, tenths, *differs = row
    tax = book_of(place).content.tax
    assert tax is not None
    told = USUAL | {"unit": tax.unit} | (differs[0] if differs else {})
    return Travel(
        id=f"t{n}",
        staff=told["staff"],
        vehicle=told["vehicle"],
        kind=told["kind"],
        unit=told["unit"],
        day=date.fromisoformat(day),
        legs=(Leg(told["purpose"], tenths, told["known"]),),
        replaces=tuple(told["replaces"]),
        odometer=tuple(told["odometer"]),
    )


def claimed(case: Mapping[str, Any]) -> dict[str, Any]:
    """All that both sides say of it, in the form in which the phone writes it."""
    content = book_of(case["place"]).content
    assert content.tax is not None
    travels = travels_of(case)
    found = claim(travels, content.mileage_rates, content.tax)
    return {
        "years": {
            start.isoformat(): {
                "lines": sorted(
                    [*key, line.tenths, str(line.amount)] for key, line in year.lines.items()
                ),
                "amount": str(year.amount),
                **{name: getattr(year, name) for name in YEAR_FIELDS},
            }
            for start, year in sorted(found.years.items())
        },
        "legs": [
            [str(share.amount) for share in found.shares.get((travel.id, 0), [])]
            for travel in travels
        ],
        "vehicles": {
            start.isoformat(): {id_: _driven(year) for id_, year in sorted(vehicles.items())}
            for start, vehicles in sorted(by_vehicle(travels, content.tax).items())
        },
    }


def _driven(year: VehicleYear) -> dict[str, Any]:
    return vars(year) | {"untold": year.untold}


def draw(random: Random) -> dict[str, Any]:
    """A year or two of travel, with corrections and doubles."""
    first = date(random.choice([2022, 2024, 2025]), 1, 1)
    return {
        "place": random.choice(PLACES),
        "travel": [_drawn(random, n, first) for n in range(random.randint(0, 40))],
    }


def _drawn(random: Random, n: int, first: date) -> list[Any]:
    day = first + timedelta(days=random.randint(0, 500))
    return [
        day.isoformat(),
        random.choice([None, random.randint(0, 400), random.randint(0, 60_000)]),
        {
            "staff": random.choice(["ann", "ben"]),
            "vehicle": random.choice("ABC"),
            "kind": random.choice(["car", "car", "car", "van", "motorcycle", "bicycle"]),
            "unit": random.choice(["mile", "km"]),
            "purpose": random.choice(["client", "client", "supplies", "commute", "private"]),
            "known": random.choice(["odometer", "typed", "mapped", "estimate"]),
            "odometer": random.choice([[None, None], [n * 900, None], [n * 900, n * 900 + 500]]),
            "replaces": [f"t{random.randint(0, n - 1)}"] if n and random.random() < 0.1 else [],
        },
    ]
