"""Putting visits into the diary: by whom, and that nobody is to be in two places.

Several may be put in at once. They are judged by where all of them stand afterwards, so that two
visits can change places.
"""

from collections import defaultdict
from collections.abc import Collection, Sequence
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.commandlog.act import Act
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import About, Refused, Role
from heelwright.intake.may_read import day_of
from heelwright.people.access import client_for, give_client
from heelwright.people.team import colleague
from heelwright.schedule.against import nothing_against
from heelwright.schedule.models import Booking
from heelwright.tenancy.models import Staff


def put_in(act: Act, bookings: Sequence[Booking], meant: Collection[str]) -> None:
    """Save bookings and let who makes the visits see the clients. Raises Refused where, with all of
    them in place, a technician would have two visits at one time, or something speaks against one
    of the times that nobody has said to mean all the same."""
    _nobody_twice(bookings)
    nothing_against(act, bookings, meant)
    for booking in bookings:
        act.put(booking)
        give_client(act, booking.staff, booking.client)


def technician(act: Act, staff_id: UUID) -> Staff:
    """Somebody of the practice who makes visits."""
    staff = colleague(act, staff_id)
    if staff.role == Role.COORDINATOR:
        raise Refused(
            "not_a_technician", "A coordinator makes no visits.", "Choose a technician.", "staff"
        )
    return staff


def open_booking(act: Act, booking_id: UUID, seen: int) -> Booking:
    """A booking that stands and that nobody has changed since the device saw it."""
    booking = known_booking(act, booking_id)
    if booking.state != "booked":
        raise Refused(
            "booking_closed",
            "This booking is cancelled or done.",
            "Make a new booking.",
            field="booking",
            about=About("booking", booking.pk),
        )
    still_as_seen(act, booking, seen, "booking", "booking")
    return booking


def known_booking(act: Act, booking_id: UUID) -> Booking:
    booking = Booking.objects.filter(practice=act.practice, pk=booking_id).first()
    if booking is None:
        raise Refused("not_found", "This booking was not found.", "Sync, look again.", "booking")
    client_for(act, booking.client_id, field="booking")
    return booking


def _nobody_twice(bookings: Sequence[Booking]) -> None:
    """Raise Refused where a technician has another visit then. Both are named by their times, in
    the practice's zone."""
    of_staff: dict[UUID, list[Booking]] = defaultdict(list)
    for booking in bookings:
        of_staff[booking.staff_id].append(booking)
    for asked in of_staff.values():
        stand = _standing(asked, moved=[booking.pk for booking in bookings])
        for booking in asked:
            others = [o for o in (*stand, *asked) if o is not booking and _overlap(o, booking)]
            if others:
                raise _double_booked(booking, min(others, key=lambda o: (o.starts_at, o.pk)))


def _standing(asked: Sequence[Booking], moved: Sequence[UUID]) -> list[Booking]:
    """What stays where it is around the visits that are asked for."""
    booked = Booking.objects.filter(staff=asked[0].staff_id, state="booked")
    around = booked.filter(
        starts_at__lt=max(b.ends_at for b in asked), ends_at__gt=min(b.starts_at for b in asked)
    )
    return list(around.exclude(pk__in=moved).order_by("starts_at", "pk"))


def _overlap(one: Booking, other: Booking) -> bool:
    return one.starts_at < other.ends_at and other.starts_at < one.ends_at


def _double_booked(booking: Booking, other: Booking) -> Refused:
    return Refused(
        "double_booked",
        f"You asked for a visit {_span(booking)}. The technician has another visit {_span(other)}.",
        "Choose another time or another technician.",
        field="starts_at",
        about=About("booking", other.pk),
    )


def _span(booking: Booking) -> str:
    zone = ZoneInfo(booking.practice.zone)
    start, end = booking.starts_at.astimezone(zone), booking.ends_at.astimezone(zone)
    return f"from {start:%H:%M} to {end:%H:%M} on {day_of(start)}"
