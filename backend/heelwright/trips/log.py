"""The log of travel that a tax office asks for: each way for work with its day, places, purpose and
distance, the odometer, the vehicle, and what it comes to by the official rate of the day.

Of private ways it tells the length alone. An estimate stands there as one, without an amount.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import log
from heelwright.declarations import Days, Log, Refused, Role
from heelwright.intake.may_read import day_of, minute_of
from heelwright.people.books import book_of
from heelwright.rulebook import Book
from heelwright.rulebook.mileage_entries import MileageRate, Tax, Unit
from heelwright.tenancy.models import Device, Staff
from heelwright.trips.models import TravelDay, Vehicle
from heelwright.trips.rules.claim import Claim, Share, Year, claim, year_of
from heelwright.trips.rules.travel import Leg, Travel, standing, twice
from heelwright.trips.rules.vehicles import VehicleYear, by_vehicle

COLUMNS = [
    *("Day", "From", "To", "Purpose", "Distance", "Known by", "Odometer start", "Odometer end"),
    *("Vehicle", "Driver", "Rate", "Amount", "Written down"),
]
VEHICLE_COLUMNS = [
    *("Vehicle", "Driver", "For work", "To or from work", "Private"),
    *("Not counted", "Odometer first", "Odometer last", "On no day told"),
]
PURPOSES = {
    "client": "Client",
    "facility": "Facility round",
    "supplies": "Supplies",
    "training": "Training",
    "meeting": "Meeting",
    "other": "Other work",
    "commute": "Way to or from work",
    "private": "Private",
}
KNOWN = {
    "odometer": "Odometer",
    "mapped": "Mapped route",
    "typed": "Entered by hand",
    "estimate": "Estimate, not claimed",
}


def mileage_log(reader: Device, days: Days) -> dict[str, Any]:
    """The owner's is of everybody, a technician's their own; raises Refused for a role that sees no
    travel. Amounts count from the start of the tax year, whatever the days."""
    practice, role = reader.practice, Role(reader.staff.role)
    if not may_see("travel_day", role):
        raise Refused("not_found", "There is no such log.", "Check the address.", "name")
    rows = {str(row.pk): row for row in _told(reader)}
    book = book_of(practice)
    travels = [_travel(row) for row in rows.values()]
    tax = book.content.tax
    found = claim(travels, book.content.mileage_rates, tax) if tax else Claim()
    stand = [one for one in standing(travels) if days.first <= one.day <= days.last]
    people = {str(staff.pk): staff.name for staff in Staff.objects.filter(practice=practice)}
    zone, now = ZoneInfo(practice.zone), clock.now()
    return {
        "written_at": now.isoformat(),
        "written_on": minute_of(now.astimezone(zone)),
        "practice": practice.name,
        "invented": practice.invented,
        "span": f"{day_of(days.first)} to {day_of(days.last)}",
        "note": book.content.words["en"]["mileage_note.tax_office_says"],
        "columns": COLUMNS,
        "rows": list(_rows(stand, rows, found, twice(standing(travels)), book, zone)),
        "years": list(_years(stand, found, book, tax, people)) if tax else [],
        "vehicle_columns": VEHICLE_COLUMNS,
        "vehicles": list(_vehicles(stand, travels, rows, tax)) if tax else [],
    }


def sums_of_days(reader: Device, days: Days) -> list[list[str]]:
    """For each driver whom the reader may see, how far they claim to have gone in these days and
    what it comes to. Nothing where the book does not know the place."""
    book = book_of(reader.practice)
    tax = book.content.tax
    if tax is None:
        return []
    rows = {str(row.pk): row for row in _told(reader)}
    travels = [_travel(row) for row in rows.values()]
    found = claim(travels, book.content.mileage_rates, tax)
    sums: dict[str, list[Share]] = defaultdict(list)
    for travel in standing(travels):
        if days.first <= travel.day <= days.last:
            for place in range(len(travel.legs)):
                shares = found.shares.get((travel.id, place), [])
                sums[rows[travel.id].staff.name] += shares
    return [
        [
            f"{name}, {_distance(sum(share.tenths for share in shares), tax.unit)}",
            f"{_amount(shares) or '0.00'} {tax.currency}",
        ]
        for name, shares in sorted(sums.items())
    ]


def _told(reader: Device) -> Iterable[TravelDay]:
    told = TravelDay.objects.filter(practice=reader.practice).select_related("vehicle", "staff")
    return told if reader.staff.role == Role.OWNER else told.filter(staff=reader.staff)


def _travel(row: TravelDay) -> Travel:
    return Travel(
        id=str(row.pk),
        staff=str(row.staff_id),
        vehicle=str(row.vehicle_id),
        kind=row.vehicle.kind,  # type: ignore[arg-type]  # the column holds nothing else
        unit=_unit(row.vehicle),
        day=row.day,
        legs=tuple(Leg(leg["purpose"], leg["tenths"], leg["known"]) for leg in row.legs),
        replaces=tuple(row.replaces),
        odometer=(row.odometer_start, row.odometer_end),
    )


def _unit(vehicle: Vehicle) -> Unit:
    return "mile" if vehicle.unit == "mile" else "km"


def _rows(
    stand: Iterable[Travel],
    rows: dict[str, TravelDay],
    found: Claim,
    doubled: set[str],
    book: Book,
    zone: ZoneInfo,
) -> Iterator[list[str]]:
    for travel in stand:
        row, unit = rows[travel.id], travel.unit
        readings = [_reading(row.odometer_start), _reading(row.odometer_end)]
        by = [_named(row.vehicle), row.staff.name]
        written = f"{row.told_at.astimezone(zone):%Y-%m-%d %H:%M}"
        if row.replaces:
            written = f"{written} (corrected)"
        for place, leg in enumerate(row.legs):
            shares = found.shares.get((travel.id, place), [])
            known = "Told twice, not claimed" if travel.id in doubled else KNOWN[leg["known"]]
            yield [
                *(f"{travel.day:%Y-%m-%d}", leg["start"], leg["end"], _purpose(leg)),
                *(_distance(leg["tenths"], unit), known, *readings, *by),
                *(_rates(shares, book), _amount(shares), written),
            ]


def _purpose(leg: dict[str, Any]) -> str:
    purpose = PURPOSES[leg["purpose"]]
    return f"{purpose}: {leg['words']}" if leg["words"] else purpose


def _named(vehicle: Vehicle) -> str:
    return f"{vehicle.name} ({vehicle.plate})" if vehicle.plate else vehicle.name


def _reading(tenths: int | None) -> str:
    return "" if tenths is None else f"{tenths / 10:.1f}"


def _distance(tenths: int | None, unit: Unit) -> str:
    return "not told" if tenths is None else f"{tenths / 10:.1f} {unit}"


def _rates(shares: Iterable[Share], book: Book) -> str:
    by_id = {rate.id: rate for rate in book.content.mileage_rates}
    return ", ".join(_band(by_id[share.rate], share.band) for share in shares)


def _band(rate: MileageRate, band: int) -> str:
    return rate.bands[band].rate


def _amount(shares: list[Share]) -> str:
    return str(sum(share.amount for share in shares)) if shares else ""


def _years(
    stand: Iterable[Travel], found: Claim, book: Book, tax: Tax, people: dict[str, str]
) -> Iterator[dict[str, Any]]:
    """Whole tax years, of each in which one of the days lies."""
    for start in sorted({year_of(travel.day, tax) for travel in stand}):
        year = found.years[start]
        title = f"Tax year from {day_of(start)}, so far in this record"
        yield {"title": title, "rows": list(_sums(year, book, tax, people))}


def _sums(year: Year, book: Book, tax: Tax, people: dict[str, str]) -> Iterator[list[str]]:
    by_id = {rate.id: rate for rate in book.content.mileage_rates}
    for (rate, band, who), line in year.lines.items():
        by = f"{_band(by_id[rate], band)} {tax.currency} a {tax.unit}"
        of = f" ({people[who]})" if who in people else ""
        yield [f"{_distance(line.tenths, tax.unit)} at {by}{of}", f"{line.amount}"]
    yield ["Together", f"{year.amount} {tax.currency}"]
    beside = {
        "Not claimed: estimated, or not told": year.unconfirmed,
        "Not claimed: told twice": year.twice,
        "For work, but the book has no rate": year.without_rate,
        "Way to or from work": year.commute,
        "Private": year.private,
    }
    for words, tenths in beside.items():
        if tenths:
            yield [words, _distance(tenths, tax.unit)]


def _vehicles(
    stand: Iterable[Travel], travels: list[Travel], rows: dict[str, TravelDay], tax: Tax
) -> Iterator[dict[str, Any]]:
    """Whole tax years, as `_years`: each vehicle with how far it went."""
    vehicles = {row.vehicle_id: row for row in rows.values()}
    of_years = by_vehicle(travels, tax)
    for start in sorted({year_of(travel.day, tax) for travel in stand}):
        lines = [_driven(vehicles[UUID(id_)], year) for id_, year in of_years[start].items()]
        yield {"title": f"Vehicles in the tax year from {day_of(start)}", "rows": sorted(lines)}


def _driven(row: TravelDay, year: VehicleYear) -> list[str]:
    unit = _unit(row.vehicle)
    distances = [year.work, year.commute, year.private, year.open]
    return [
        *(_named(row.vehicle), row.staff.name),
        *(_distance(tenths, unit) for tenths in distances),
        *(_reading(year.first), _reading(year.last)),
        "" if year.untold is None else _distance(year.untold, unit),
    ]


log(Log("mileage_log", Path(__file__).parent / "log.typ", mileage_log))
