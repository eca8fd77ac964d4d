"""What of the diary goes into somebody's own calendar: their visits, or the rounds of a
coordinator's houses, as far as they see them in the app; and days off."""

from collections.abc import Iterator
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, Q, QuerySet, Subquery

from heelwright.commandlog.models import Access, FeedMark, FeedRow
from heelwright.declarations import Role
from heelwright.schedule.models import Booking, Round, TimeOff
from heelwright.schedule.rules.calendar import Entry, Off, Stop, entries
from heelwright.tenancy.models import Staff

BACK, AHEAD = timedelta(days=14), timedelta(days=90)


def entries_of(staff: Staff, now: datetime) -> list[Entry]:
    """From two weeks back to three months ahead, in days of the practice."""
    zone = ZoneInfo(staff.practice.zone)
    midnight = datetime.combine(now.astimezone(zone).date(), time(), zone)
    return entries(
        staff.pk,
        _stops(staff, midnight - BACK, midnight + AHEAD + timedelta(days=1)),
        _days_off(staff, midnight - BACK, midnight + AHEAD),
    )


def _stops(staff: Staff, begin: datetime, end: datetime) -> Iterator[Stop]:
    """A visit that was moved to another day is no stop of its round any more."""
    bookings = _bookings(staff).filter(starts_at__gte=begin, starts_at__lt=end)
    days = dict(Round.objects.filter(pk__in=bookings.values("round")).values_list("pk", "day"))
    dated = bookings.annotate(revised_at=_revised_at(staff, "booking"))
    columns = dated.values_list("pk", "round", "starts_at", "ends_at", "state", "revised_at")
    for id_, of, starts_at, ends_at, state, revised_at in columns:
        local = starts_at.astimezone(begin.tzinfo).date()
        on_round = of if of is not None and days.get(of) == local else None
        if on_round is not None or staff.role != Role.COORDINATOR:
            yield Stop(id_, on_round, starts_at, ends_at, state != "cancelled", revised_at)


def _bookings(staff: Staff) -> QuerySet[Booking]:
    bookings = Booking.objects.filter(practice=staff.practice)
    seen = Access.objects.filter(staff=staff, until=None).values("scope")
    if staff.role == Role.COORDINATOR:
        rounds = Round.objects.filter(practice=staff.practice, facility__in=seen)
        return bookings.filter(round__in=rounds.values("pk"))
    own = bookings.filter(staff=staff)
    return own if staff.role == Role.OWNER else own.filter(client__in=seen)


def _days_off(staff: Staff, begin: datetime, end: datetime) -> Iterator[Off]:
    """Their own and the practice's. What for is nobody's business: it may be an illness."""
    days = TimeOff.objects.filter(Q(staff=staff) | Q(staff=None), practice=staff.practice)
    days = days.filter(last__gte=begin.date(), first__lte=end.date())
    dated = days.annotate(revised_at=_revised_at(staff, "time_off"))
    for columns in dated.values_list("pk", "first", "last", "revised_at"):
        yield Off(*columns)


def _revised_at(staff: Staff, kind: str) -> Subquery:
    """When a row was last changed: the mark of that transaction, or, where it was trimmed, the next
    one. Of one statement with the row, so that none can come or go in between."""
    marks = FeedMark.objects.filter(practice=staff.practice, seq__gte=OuterRef("seq"))
    changes = FeedRow.objects.filter(practice=staff.practice, kind=kind, row_id=OuterRef("pk"))
    at = Subquery(marks.order_by("seq").values("made_at")[:1])
    return Subquery(changes.annotate(at=at).values("at")[:1])
