"""What visits will have around them where they are to stand, read in a few queries for all of them.

Nothing is decided here; `rules/objections.py` does.
"""

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta
from functools import reduce
from operator import or_
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.people.books import book_of
from heelwright.people.models import Facility
from heelwright.places.position import Position
from heelwright.places.rules import estimate, travel_of
from heelwright.schedule.coming import next_due
from heelwright.schedule.models import Booking, TimeOff, WorkingWeek
from heelwright.schedule.rules.objections import Around, Asked, Other


class Surroundings:
    def __init__(self, act: Act, bookings: Sequence[Booking]) -> None:
        self._zone = ZoneInfo(act.practice.zone)
        self._travel = travel_of(book_of(act.practice))
        self._moved = bookings
        days = {self.asked(booking).day for booking in bookings}
        staff = {booking.staff_id for booking in bookings}
        clients = {booking.client_id: booking.client for booking in bookings}
        self._stands = self._on(days).filter(staff__in=staff).select_related("client")
        doors = {other.client_id: other.client for other in self._stands} | clients
        self._houses = Facility.objects.in_bulk({client.facility_id for client in doors.values()})
        vault.prefetch({act.practice.pk, *doors})
        self._seen = act.seen_of(doors)
        self._weeks = WorkingWeek.objects.in_bulk(staff)
        off = TimeOff.objects.filter(practice=act.practice, first__lte=max(days))
        self._off = list(off.filter(last__gte=min(days)))
        self._due = next_due(clients.values())
        moved = Booking.objects.filter(pk__in={booking.pk for booking in bookings})
        self._stood = {booking.pk: self.asked(booking).day for booking in moved}
        self._waits_until = self._first_days(clients)

    def asked(self, booking: Booking) -> Asked:
        local = booking.starts_at.astimezone(self._zone)
        return Asked(local.date(), local.hour * 60 + local.minute, booking.minutes)

    def around(self, booking: Booking) -> Around:
        week = self._weeks.get(booking.staff_id)
        day = self.asked(booking).day
        due = self._due.get(booking.client_id)
        free: Sequence[Any] = booking.client.visit_times or []
        return Around(
            week=week.days if week else None,
            off=[(t.first, t.last) for t in self._off if t.staff_id in (None, booking.staff_id)],
            others=[
                Other(at.starts, at.ends, self._drive(booking, other))
                for other in (*self._stands, *self._moved)
                if other is not booking and other.staff_id == booking.staff_id
                for at in (self.asked(other),)
                if at.day == day
            ],
            free=free,
            latest=due.last if due and self._comes_later(booking, day) else None,
        )

    def _unmoved(self) -> QuerySet[Booking]:
        stand = Booking.objects.filter(state="booked")
        return stand.exclude(pk__in={booking.pk for booking in self._moved})

    def _on(self, days: Collection[date]) -> QuerySet[Booking]:
        begins = [datetime.combine(day, time(), self._zone) for day in sorted(days)]
        spans = [Q(starts_at__gte=at, starts_at__lt=at + timedelta(days=1)) for at in begins]
        return self._unmoved().filter(reduce(or_, spans))

    def _first_days(self, clients: Collection[UUID]) -> dict[UUID, date]:
        """The day of the first visit that clients have besides those that are moved."""
        first: dict[UUID, date] = {}
        for booking in self._unmoved().filter(client__in=clients).order_by("starts_at"):
            first.setdefault(booking.client_id, self.asked(booking).day)
        return first

    def _comes_later(self, booking: Booking, day: date) -> bool:
        """Whether the client would wait longer for this visit than they do now: not where another
        one comes first, nor where it stood on that day or a later one already."""
        if self._stood.get(booking.pk, date.min) >= day:
            return False
        theirs = (each for each in self._moved if each.client_id == booking.client_id)
        others = [self.asked(each).day for each in theirs if each is not booking]
        return min([self._waits_until.get(booking.client_id, date.max), *others]) >= day

    def _drive(self, one: Booking, other: Booking) -> int | None:
        """Not to a client whom who asks does not see: their phone can't know."""
        start, end = self._door(one), self._door(other)
        if start is None or end is None or not {one.client_id, other.client_id} <= self._seen:
            return None
        return estimate(start, end, self._travel).seconds

    def _door(self, booking: Booking) -> Position | None:
        client = booking.client
        of = client if booking.place == "home" else self._houses.get(client.facility_id)
        return Position.model_validate(of.position) if of is not None and of.position else None
