"""Vehicles and days of travel on the feed: to whoever drives, and to the owner."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind
from heelwright.declarations import FeedKind
from heelwright.rulebook.mileage_entries import Unit, VehicleKind
from heelwright.trips.arguments import Leg
from heelwright.trips.models import TravelDay, Vehicle

Rows = Iterable[tuple[UUID, BaseModel]]


class VehicleRow(BaseModel):
    staff: UUID
    kind: VehicleKind
    unit: Unit
    name: str
    plate: str
    given_up: bool


class TravelDayRow(BaseModel):
    staff: UUID
    vehicle: UUID
    day: date
    odometer_start: int | None
    odometer_end: int | None
    legs: list[Leg]
    note: str
    replaces: list[UUID]
    told_at: datetime


def vehicles(ids: Iterable[UUID]) -> Rows:
    for row in Vehicle.objects.filter(pk__in=ids):
        told = {"kind": row.kind, "unit": row.unit, "name": row.name, "plate": row.plate}
        yield (
            row.pk,
            VehicleRow.model_validate(told | {"staff": row.staff_id, "given_up": row.given_up}),
        )


def travel_days(ids: Iterable[UUID]) -> Rows:
    for row in TravelDay.objects.filter(pk__in=ids):
        yield (
            row.pk,
            TravelDayRow(
                staff=row.staff_id,
                vehicle=row.vehicle_id,
                day=row.day,
                odometer_start=row.odometer_start,
                odometer_end=row.odometer_end,
                legs=[Leg.model_validate(leg) for leg in row.legs],
                note=row.note,
                replaces=row.replaces,
                told_at=row.told_at,
            ),
        )


def _driver(row: Any) -> UUID:
    of: UUID = row.staff_id
    return of


feed_kind(FeedKind("vehicle", Vehicle, VehicleRow, _driver, vehicles))
feed_kind(FeedKind("travel_day", TravelDay, TravelDayRow, _driver, travel_days))
