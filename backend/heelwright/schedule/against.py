"""What speaks against visits where they are to stand, gathered from the rows."""

from collections.abc import Collection, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Q

from heelwright.commandlog.act import Act
from heelwright.declarations import About, Refused, Role
from heelwright.schedule.coming import next_due
from heelwright.schedule.models import Booking, TimeOff, WorkingWeek
from heelwright.schedule.rules.objections import Around, Asked, Code, objections

WORDS: dict[Code, str] = {
    "day_off": "That is a day off.",
    "outside_hours": "That is outside of the technician's hours.",
    "in_break": "Nothing is left of the technician's break then.",
    "too_late": "By what was said at the last visit, that is too late for the next one.",
    "client_not_free": "By the card, the client is not to be visited then.",
}


def nothing_against(act: Act, bookings: Sequence[Booking], meant: Collection[str]) -> None:
    """Raise Refused for the first objection that is not among those that a person means. How soon a
    client is to be visited again a coordinator is not told."""
    passed = {*meant, *(("too_late",) if act.role is Role.COORDINATOR else ())}
    for booking in bookings:
        for code in objections(_asked(booking), _around(booking, bookings)):
            if code not in passed:
                raise Refused(
                    code,
                    WORDS[code],
                    "Choose another time, or say that you mean it.",
                    field="starts_at",
                    about=About("booking", booking.pk),
                )


def _asked(booking: Booking) -> Asked:
    local = booking.starts_at.astimezone(_zone(booking))
    return Asked(local.date(), local.hour * 60 + local.minute, booking.minutes)


def _around(booking: Booking, moved: Sequence[Booking]) -> Around:
    week = WorkingWeek.objects.filter(pk=booking.staff_id).first()
    asked = _asked(booking)
    off = TimeOff.objects.filter(practice=booking.practice_id, first__lte=asked.day)
    theirs = off.filter(Q(staff=booking.staff_id) | Q(staff=None), last__gte=asked.day)
    others = [_asked(other) for other in _others(booking, moved, asked.day)]
    due = next_due(booking.client)
    free: Sequence[Any] = booking.client.visit_times or []
    return Around(
        week=week.days if week else None,
        off=[(days.first, days.last) for days in theirs],
        others=[(other.starts, other.ends) for other in others if other.day == asked.day],
        free=free,
        latest=due.last if due and _comes_later(booking, moved, asked.day) else None,
    )


def _others(booking: Booking, moved: Sequence[Booking], day: date) -> list[Booking]:
    """The technician's other visits of a day, as they will stand."""
    begins = datetime.combine(day, time(), _zone(booking))
    names: set[UUID] = {each.pk for each in moved}
    standing = Booking.objects.filter(
        staff=booking.staff_id,
        state="booked",
        starts_at__gte=begins,
        starts_at__lt=begins + timedelta(days=1),
    ).exclude(pk__in=names)
    return [
        *standing,
        *(each for each in moved if each is not booking and each.staff_id == booking.staff_id),
    ]


def _comes_later(booking: Booking, moved: Sequence[Booking], day: date) -> bool:
    """Whether the client would wait longer for this visit than they do now: not where another one
    comes first, nor where it stood on that day or a later one already."""
    stood = Booking.objects.filter(pk=booking.pk).first()
    if stood is not None and _asked(stood).day >= day:
        return False
    theirs = Booking.objects.filter(client=booking.client_id, state="booked")
    standing = theirs.exclude(pk__in={each.pk for each in moved})
    others = [*standing, *(each for each in moved if each.client_id == booking.client_id)]
    return not any(each is not booking and _asked(each).day < day for each in others)


def _zone(booking: Booking) -> ZoneInfo:
    return ZoneInfo(booking.practice.zone)
