"""Bookings on the feed."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.schedule.models import Booking


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


feed_kind(FeedKind("booking", Booking, BookingRow, lambda row: row.client_id, bookings))
follows_client(Booking)
