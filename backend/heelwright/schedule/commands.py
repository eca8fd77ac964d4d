"""Booking, repeating, moving and cancelling visits, and telling that somebody was not seen."""

from collections.abc import Sequence
from datetime import time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import bring_up_to_date, command
from heelwright.declarations import Power, Refused
from heelwright.intake.may_read import day_of
from heelwright.people.access import client_for, not_away
from heelwright.schedule import hours, residents  # noqa: F401 - they declare theirs
from heelwright.schedule.arguments import (
    ArrangedVisit,
    ArrangeVisits,
    BookSeries,
    BookVisit,
    CancelBooking,
    CancelSeries,
    MoveBooking,
    RecordNotSeen,
)
from heelwright.schedule.diary import known_booking, open_booking, put_in, technician
from heelwright.schedule.models import Booking
from heelwright.schedule.rules.objections import minute_of
from heelwright.schedule.rules.repeats import (
    MOST_TIMES,
    BadRule,
    Occurrence,
    days_of,
    occurrences,
)


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
    arrange(act, args.visits, args.meant)


def arrange(
    act: Act, visits: Sequence[ArrangedVisit], meant: Sequence[str], of_round: UUID | None = None
) -> list[Booking]:
    named = [visit.booking for visit in visits]
    if len(set(named)) < len(named):
        raise Refused(
            "named_twice",
            "One visit is in the list twice.",
            "Give each visit one time.",
            field="visits",
        )
    bookings = [_arranged(act, visit) for visit in visits]
    if of_round is not None:
        for place, booking in enumerate(bookings):
            booking.round, booking.place_in_round = of_round, place
    put_in(act, bookings, meant)
    about_several(act, {booking.client_id for booking in bookings})
    return bookings


def about_several(act: Act, clients: set[UUID]) -> None:
    if clients - {act.subject}:
        # What is told of several is sealed under the practice's key.
        act.subject = None
        for client in clients:
            bring_up_to_date(act, client)


@command(Power.PERMISSION, BookSeries)
def book_series(act: Act, args: BookSeries) -> None:
    """Book visits that repeat, all or none."""
    made = _expanded(act, args)
    sent = {(visit.booking, visit.starts_at) for visit in args.visits}
    differing = {(each.booking, each.starts_at) for each in made} ^ sent
    if differing or len(args.visits) != len(made):
        first = min((at for _, at in differing), default=args.visits[0].starts_at)
        told = first.astimezone(ZoneInfo(act.practice.zone))
        raise Refused(
            "other_days",
            f"The rule makes other visits than were sent, first about {day_of(told)}.",
            "Update the app and book them again, or book them one by one.",
            field="visits",
        )
    about = args.model_dump(include={"client", "staff", "minutes", "place", "service"})
    bookings = [
        _new(act, BookVisit(booking=each.booking, starts_at=each.starts_at, **about))
        for each in made
    ]
    for booking in bookings:
        booking.series = args.series
    put_in(act, bookings, args.meant)


@command(Power.PERMISSION, CancelBooking)
def cancel_booking(act: Act, args: CancelBooking) -> None:
    _call_off(act, open_booking(act, args.booking, args.seen), args)


@command(Power.PERMISSION, CancelSeries)
def cancel_series(act: Act, args: CancelSeries) -> None:
    """Call off several visits of one series, all or none."""
    bookings = [open_booking(act, visit.booking, visit.seen) for visit in args.visits]
    if {booking.series for booking in bookings} != {args.series}:
        raise Refused(
            "other_series",
            "One of these visits is not of this repeat.",
            "Sync, look at the visits, and cancel it by itself.",
            field="visits",
        )
    for booking in bookings:
        _call_off(act, booking, args)


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


def _call_off(act: Act, booking: Booking, args: CancelBooking | CancelSeries) -> None:
    booking.state = "cancelled"
    booking.reason, booking.cancel_reason = args.code, args.reason
    act.put(booking)


def _expanded(act: Act, args: BookSeries) -> list[Occurrence]:
    clock = minute_of(args.clock)
    try:
        days = days_of(args.rule, args.first)
    except BadRule as fault:
        raise _not_repeated(fault.code) from None
    zone = ZoneInfo(act.practice.zone)
    return occurrences(args.series, days, args.left_out, time(clock // 60, clock % 60), zone)


def _not_repeated(code: str) -> Refused:
    said = {
        "no_rule": ("This is no rule for a repeat.", "Choose how often and until when again."),
        "too_many": (
            f"A repeat has at most {MOST_TIMES} visits.",
            "Let it end earlier, and book the later ones when it has.",
        ),
        "not_first": (
            "The first day is not one of the rule's.",
            "Choose the day of the first visit again.",
        ),
    }
    return Refused(code, *said[code], field="rule")


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
