"""Booking, moving and cancelling visits, and telling that somebody was not seen."""

from datetime import timedelta

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import bring_up_to_date, command
from heelwright.declarations import Power, Refused
from heelwright.people.access import client_for, not_away
from heelwright.schedule import hours, residents  # noqa: F401 - they declare theirs
from heelwright.schedule.arguments import (
    ArrangedVisit,
    ArrangeVisits,
    BookVisit,
    CancelBooking,
    MoveBooking,
    RecordNotSeen,
)
from heelwright.schedule.diary import known_booking, open_booking, put_in, technician
from heelwright.schedule.models import Booking


@command(Power.PERMISSION, BookVisit)
def book_visit(act: Act, args: BookVisit) -> None:
    put_in(act, [_new(act, args)], args.meant)


@command(Power.PERMISSION, MoveBooking)
def move_booking(act: Act, args: MoveBooking) -> None:
    booking = open_booking(act, args.booking, args.seen)
    not_away(booking.client)
    _put_at(act, booking, args)
    put_in(act, [booking], args.meant)


@command(Power.PERMISSION, ArrangeVisits)
def arrange_visits(act: Act, args: ArrangeVisits) -> None:
    """Book and move several visits, all or none."""
    named = [visit.booking for visit in args.visits]
    if len(set(named)) < len(named):
        raise Refused(
            "named_twice",
            "One visit is in the list twice.",
            "Give each visit one time.",
            field="visits",
        )
    bookings = [_arranged(act, visit) for visit in args.visits]
    put_in(act, bookings, args.meant)
    clients = {booking.client_id for booking in bookings}
    if len(clients) > 1:
        # What is told of several is sealed under the practice's key.
        act.subject = None
        for client in clients:
            bring_up_to_date(act, client)


@command(Power.PERMISSION, CancelBooking)
def cancel_booking(act: Act, args: CancelBooking) -> None:
    booking = open_booking(act, args.booking, args.seen)
    booking.state = "cancelled"
    booking.reason, booking.cancel_reason = args.code, args.reason
    act.put(booking)


@command(Power.REPORT, RecordNotSeen)
def record_not_seen(act: Act, args: RecordNotSeen) -> None:
    """Somebody stood at the door, and nothing was done. Told of a visit that was made, it is not
    believed, and the owner looks at it."""
    booking = known_booking(act, args.booking)
    if booking.state == "done":
        act.raise_incident("not_seen_but_done", booking, [], booking.client_id)
        return
    booking.state = "not_seen"
    booking.reason, booking.cancel_reason = args.code, args.reason
    act.put(booking)


def _arranged(act: Act, visit: ArrangedVisit) -> Booking:
    if visit.seen is None:
        return _new(act, visit)
    client = client_for(act, visit.client)
    booking = open_booking(act, visit.booking, visit.seen)
    if booking.client_id != client.pk:
        raise Refused(
            "wrong_client",
            "This booking is another client's.",
            "Sync, look at the day, and arrange it again.",
            field="client",
        )
    not_away(client)
    _put_at(act, booking, visit)
    booking.place, booking.service = visit.place, visit.service
    return booking


def _new(act: Act, args: BookVisit | ArrangedVisit) -> Booking:
    client = client_for(act, args.client)
    fresh_id(Booking, args.booking, "booking")
    not_away(client)
    booking = Booking(
        id=args.booking,
        practice=act.practice,
        client=client,
        place=args.place,
        service=args.service,
    )
    _put_at(act, booking, args)
    return booking


def _put_at(act: Act, booking: Booking, args: BookVisit | MoveBooking | ArrangedVisit) -> None:
    booking.staff = technician(act, args.staff)
    booking.starts_at = args.starts_at
    booking.ends_at = args.starts_at + timedelta(minutes=args.minutes)
