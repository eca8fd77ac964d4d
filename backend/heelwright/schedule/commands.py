"""Booking, moving and cancelling a visit."""

from datetime import timedelta
from typing import Literal
from uuid import UUID
from zoneinfo import ZoneInfo

from pydantic import Field

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.wire import Args, Moment, Text, Version
from heelwright.declarations import About, Power, Refused, Role
from heelwright.people.access import client_for, give_client, not_away
from heelwright.people.team import colleague
from heelwright.schedule.models import Booking
from heelwright.tenancy.models import Staff

LONGEST_MINUTES = 8 * 60


class BookVisit(Args):
    booking: UUID
    client: UUID
    staff: UUID
    starts_at: Moment
    minutes: int = Field(ge=5, le=LONGEST_MINUTES)
    place: Literal["home", "facility"]


class MoveBooking(Args):
    booking: UUID
    seen: Version
    starts_at: Moment
    minutes: int = Field(ge=5, le=LONGEST_MINUTES)
    staff: UUID


class CancelBooking(Args):
    booking: UUID
    seen: Version
    reason: Text = ""


@command(Power.PERMISSION, BookVisit)
def book_visit(act: Act, args: BookVisit) -> None:
    client = client_for(act, args.client)
    fresh_id(Booking, args.booking, "booking")
    not_away(client)
    staff = _technician(act, args.staff)
    booking = Booking(
        id=args.booking,
        practice=act.practice,
        client=client,
        staff=staff,
        starts_at=args.starts_at,
        ends_at=args.starts_at + timedelta(minutes=args.minutes),
        place=args.place,
    )
    _free(booking)
    act.put(booking)
    give_client(act, staff, client)


@command(Power.PERMISSION, MoveBooking)
def move_booking(act: Act, args: MoveBooking) -> None:
    booking = _open_booking(act, args.booking, args.seen)
    not_away(booking.client)
    booking.staff = _technician(act, args.staff)
    booking.starts_at = args.starts_at
    booking.ends_at = args.starts_at + timedelta(minutes=args.minutes)
    _free(booking)
    act.put(booking)
    give_client(act, booking.staff, booking.client)


@command(Power.PERMISSION, CancelBooking)
def cancel_booking(act: Act, args: CancelBooking) -> None:
    booking = _open_booking(act, args.booking, args.seen)
    booking.state = "cancelled"
    booking.cancel_reason = args.reason
    act.put(booking)


def _technician(act: Act, staff_id: UUID) -> Staff:
    staff = colleague(act, staff_id)
    if staff.role == Role.COORDINATOR:
        raise Refused(
            "not_a_technician", "A coordinator makes no visits.", "Choose a technician.", "staff"
        )
    return staff


def _open_booking(act: Act, booking_id: UUID, seen: int) -> Booking:
    booking = Booking.objects.filter(practice=act.practice, pk=booking_id).first()
    if booking is None:
        raise Refused("not_found", "This booking was not found.", "Sync, look again.", "booking")
    client_for(act, booking.client_id, field="booking")
    if booking.state != "booked":
        raise Refused(
            "booking_closed",
            "This booking is cancelled or done.",
            "Make a new booking.",
            field="booking",
        )
    if act.changed_elsewhere(booking, seen):
        raise Refused(
            "changed_elsewhere",
            "Somebody else has changed this booking since.",
            "Sync, look at it, and change it again if it is still needed.",
            field="booking",
            about=About("booking", booking.pk),
        )
    return booking


def _free(booking: Booking) -> None:
    """Raise Refused where the technician has another visit then. Both are named by their times, in
    the practice's zone."""
    other = (
        Booking.objects.filter(
            staff=booking.staff,
            state="booked",
            starts_at__lt=booking.ends_at,
            ends_at__gt=booking.starts_at,
        )
        .exclude(pk=booking.pk)
        .order_by("starts_at", "pk")
        .first()
    )
    if other is None:
        return
    raise Refused(
        "double_booked",
        f"You asked for {_span(booking)}. The technician has another visit from {_span(other)}.",
        "Choose another time or another technician.",
        field="starts_at",
        about=About("booking", other.pk),
    )


def _span(booking: Booking) -> str:
    zone = ZoneInfo(booking.practice.zone)
    start, end = booking.starts_at.astimezone(zone), booking.ends_at.astimezone(zone)
    return f"{start:%Y-%m-%d %H:%M} to {end:%H:%M}"
