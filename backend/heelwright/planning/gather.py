"""Who is due and who can go, read from the rows as a problem for the planner."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from heelwright import vault
from heelwright.commandlog.models import Access
from heelwright.declarations import Role
from heelwright.people.books import book_of
from heelwright.people.models import Client, Facility
from heelwright.people.rules import away
from heelwright.places.position import Position
from heelwright.places.roads import Matrix, drives
from heelwright.places.rules import travel_of
from heelwright.planning.asking import PlanAsked
from heelwright.planning.rules.fortnight import (
    DUE,
    LOCKED,
    MAY_WAIT,
    OVERDUE,
    Call,
    Fortnight,
)
from heelwright.planning.rules.periods import Period, in_both, without
from heelwright.planning.shifts import GRID_S, Calendar, Whose, days_of, epoch, shifts_of
from heelwright.schedule.coming import next_due
from heelwright.schedule.models import Booking, WorkingWeek
from heelwright.schedule.rules.due import Window
from heelwright.schedule.usual import Usual, usual_visits
from heelwright.tenancy.models import Staff

# Of a client of whom nobody knows more.
UNKNOWN = Usual("", 60)


@dataclass(frozen=True)
class Visit:
    """What a call of the problem is about."""

    client: Client
    minutes: int
    service: str
    booking: Booking | None = None
    fixed: bool = False


@dataclass(frozen=True)
class Gathered:
    fortnight: Fortnight
    visits: tuple[Visit, ...]
    roads: Matrix
    # Of each shift.
    days: tuple[Whose, ...]
    without_hours: tuple[UUID, ...]


def gather(asker: Staff, asked: PlanAsked, now: datetime) -> Gathered:
    with vault.unit():
        return _Gathering(asker, asked, now).whole()


class _Gathering:
    def __init__(self, asker: Staff, asked: PlanAsked, now: datetime) -> None:
        self.asker, self.asked = asker, asked
        self.practice = asker.practice
        self.calendar = Calendar(self.practice, now)
        self.points: list[Position] = []
        self.place_of: dict[tuple[float, float], int] = {}
        self.houses = {house.pk: house for house in Facility.objects.filter(practice=self.practice)}

    def whole(self) -> Gathered:
        found = shifts_of(self.calendar, self.asked, self._place)
        days = [whose for whose, _ in found]
        calls = [*self._booked(days), *self._due(days)]
        roads = drives(self.points, travel_of(book_of(self.practice)), self.practice.roads)
        weeks = WorkingWeek.objects.in_bulk(self.asked.staff)
        return Gathered(
            Fortnight(
                tuple(shift for _, shift in found),
                tuple(call for call, _ in calls),
                roads.seconds,
                GRID_S,
            ),
            tuple(visit for _, visit in calls),
            roads,
            tuple(days),
            tuple(staff for staff in self.asked.staff if staff not in weeks),
        )

    def _place(self, position: Any) -> int | None:
        if not position:
            return None
        point = Position.model_validate(position)
        if (point.lat, point.lon) not in self.place_of:
            self.place_of[point.lat, point.lon] = len(self.points)
            self.points.append(point)
        return self.place_of[point.lat, point.lon]

    def _booked(self, days: Sequence[Whose]) -> Iterator[tuple[Call, Visit]]:
        standing = Booking.objects.filter(
            practice=self.practice,
            staff__in=self.asked.staff,
            state="booked",
            starts_at__gte=self.calendar.moment(self.asked.first),
            starts_at__lt=self.calendar.moment(self.asked.last + timedelta(days=1)),
        )
        for booking in standing.select_related("client").order_by("starts_at", "pk"):
            whose = (booking.staff_id, self.calendar.day_of(booking.starts_at))
            if whose in days and booking.ends_at > self.calendar.now:
                begins = epoch(booking.starts_at)
                visit = Visit(booking.client, booking.minutes, booking.service, booking)
                at = self._door(booking.client, booking.place)
                yield _fixed(at, begins, visit, days.index(whose)), visit

    def _due(self, days: Sequence[Whose]) -> Iterator[tuple[Call, Visit]]:
        """In the order in which they fall due."""
        clients = self._clients()
        due = next_due(clients)
        wanted = [
            (due[client.pk], client)
            for client in clients
            if client.pk in due and due[client.pk].first <= self.asked.last
        ]
        usual = usual_visits([client for _, client in wanted])
        fixed = {one.client: one for one in self.asked.fixed}
        for window, client in sorted(wanted, key=lambda one: (one[0].day, one[1].pk)):
            next_one = usual.get(client.pk, UNKNOWN)
            minutes, service = next_one.minutes, next_one.service
            keep = fixed.get(client.pk)
            place = "facility" if client.facility_id else "home"
            at = self._door(client, place)
            if keep is not None:
                whose = (keep.staff, self.calendar.day_of(keep.starts_at))
                if whose in days:
                    visit = Visit(client, minutes, service, fixed=True)
                    yield _fixed(at, epoch(keep.starts_at), visit, days.index(whose)), visit
                    continue
            yield self._call(at, minutes, window, client), Visit(client, minutes, service)

    def _clients(self) -> list[Client]:
        """Who gets visits and has none to come. For a technician, those whom they see and who
        don't prefer somebody else."""
        theirs = Client.objects.filter(practice=self.practice, merged_into=None)
        if self.asker.role != Role.OWNER:
            seen = Access.objects.filter(staff=self.asker, until=None).values("scope")
            theirs = theirs.filter(pk__in=seen)
        coming = Booking.objects.filter(
            practice=self.practice,
            state="booked",
            starts_at__gte=self.calendar.moment(self.calendar.today),
        )
        theirs = theirs.exclude(pk__in=coming.values("client")).exclude(pk__in=self.asked.left_out)
        found = list(theirs.select_related("practice").order_by("pk"))
        vault.prefetch([self.practice.pk, *(client.pk for client in found)])
        return [client for client in found if not away(client) and self._is_for_asker(client)]

    def _is_for_asker(self, client: Client) -> bool:
        mine = (None, "", str(self.asker.pk))
        return self.asker.role == Role.OWNER or client.preferred_staff in mine

    def _door(self, client: Client, place: str) -> int | None:
        if place == "home":
            return self._place(client.position)
        house = self.houses.get(client.facility_id) if client.facility_id else None
        return self._place(house.position) if house else None

    def _call(self, at: int | None, minutes: int, due: Window, client: Client) -> Call:
        overdue = due.last < self.calendar.today
        # Whose time was over before the first of these days is seen on any of them.
        late = due.last < self.asked.first
        first = self.asked.first if late else max(due.first, self.asked.first)
        last = self.asked.last if late else min(due.last, self.asked.last)
        return Call(
            at=at,
            seconds=minutes * 60,
            within=(
                self.calendar.midnight(first),
                self.calendar.midnight(last + timedelta(days=1)),
            ),
            periods=tuple(
                period
                for day in days_of(self.asked)
                if first <= day <= last
                for period in self._periods(client, day)
            ),
            weight=OVERDUE if overdue else MAY_WAIT if client.may_wait else DUE,
            skills=frozenset(str(skill) for skill in client.needs_skills or ()),
            preferred=client.preferred_staff or None,
        )

    def _periods(self, client: Client, day: date) -> list[Period]:
        """A client's own times of that day, outside of the house's quiet times."""
        whole = [(self.calendar.midnight(day), self.calendar.midnight(day + timedelta(days=1)))]
        times: Sequence[Any] = client.visit_times or []
        here = [span for span in times if span["weekday"] == day.weekday()]
        wished = self.calendar.spans(day, here) if times else whole
        house = self.houses.get(client.facility_id) if client.facility_id else None
        quiet: Sequence[Any] = (house.quiet_times or []) if house else []
        return without(in_both(whole, wished), self.calendar.spans(day, quiet))


def _fixed(at: int | None, begins: int, visit: Visit, shift: int) -> Call:
    ends = begins + visit.minutes * 60
    return Call(at, visit.minutes * 60, (begins, ends), ((begins, ends),), LOCKED, locked=shift)
