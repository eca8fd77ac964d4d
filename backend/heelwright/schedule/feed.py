"""Bookings, and the hours of those who make the visits, on the feed."""

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.places.position import Position
from heelwright.schedule import (  # noqa: F401 - they declare their commands and kinds
    calendar_links,
    rounds,
    waiting,
)
from heelwright.schedule.arguments import WorkingDay
from heelwright.schedule.models import Base, Booking, TimeOff, WorkingWeek


class BookingRow(BaseModel):
    client: UUID
    staff: UUID
    starts_at: datetime
    minutes: int
    place: str
    service: str
    state: str
    reason: str
    cancel_reason: str
    series: UUID | None
    round: UUID | None
    place_in_round: int | None


class WorkingWeekRow(BaseModel):
    """The row of a technician has their id."""

    days: list[WorkingDay]
    skills: list[str]


class BaseRow(BaseModel):
    """The row of a technician has their id."""

    position: Position | None


class TimeOffRow(BaseModel):
    """Without `staff`, nobody of the practice works on these days, both ends included."""

    staff: UUID | None
    first: date
    last: date
    name: str


def bookings(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for b in Booking.objects.filter(pk__in=ids):
        row = BookingRow(
            client=b.client_id,
            staff=b.staff_id,
            starts_at=b.starts_at,
            minutes=b.minutes,
            place=b.place,
            service=b.service,
            state=b.state,
            reason=b.reason or "",
            cancel_reason=b.cancel_reason,
            series=b.series,
            round=b.round,
            place_in_round=b.place_in_round,
        )
        yield b.pk, row


def working_weeks(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for week in WorkingWeek.objects.filter(pk__in=ids):
        yield week.pk, WorkingWeekRow(days=week.days, skills=week.skills)


def bases(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for base in Base.objects.filter(pk__in=ids):
        yield base.pk, BaseRow.model_validate({"position": base.position})


def times_off(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for t in TimeOff.objects.filter(pk__in=ids):
        yield t.pk, TimeOffRow(staff=t.staff_id, first=t.first, last=t.last, name=t.name)


feed_kind(
    FeedKind(
        "working_week", WorkingWeek, WorkingWeekRow, lambda row: row.practice_id, working_weeks
    )
)
feed_kind(FeedKind("base", Base, BaseRow, lambda row: row.pk, bases))
feed_kind(FeedKind("time_off", TimeOff, TimeOffRow, lambda row: row.practice_id, times_off))
feed_kind(FeedKind("booking", Booking, BookingRow, lambda row: row.client_id, bookings))
follows_client(Booking)
