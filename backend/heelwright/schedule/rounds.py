"""A facility's rounds: planned with their visits, closed once every stop has its answer, or
cancelled (decision 0196). The visits themselves are bookings like any other.
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import QuerySet
from pydantic import BaseModel

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command, feed_kind
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import About, FeedKind, Power, Refused
from heelwright.people.access import facility_for
from heelwright.people.models import Facility
from heelwright.schedule.arguments import CancelRound, CloseRound, PlanRound
from heelwright.schedule.commands import about_several, arrange
from heelwright.schedule.diary import open_booking
from heelwright.schedule.models import Booking, Round


class RoundRow(BaseModel):
    """Its stops are the bookings of its day that name it."""

    facility: UUID
    day: date
    state: str
    note: str


@command(Power.PERMISSION, PlanRound)
def plan_round(act: Act, args: PlanRound) -> None:
    house = _house(act, args.facility)
    planned = _planned(act, args, house)
    if args.seen is not None and planned.day != args.day:
        _moved_whole(planned, {visit.booking for visit in args.visits})
    planned.day, planned.note = args.day, args.note
    bookings = arrange(act, args.visits, args.meant, of_round=planned.pk)
    _belong(planned, bookings)
    act.put(planned)


@command(Power.PERMISSION, CloseRound)
def close_round(act: Act, args: CloseRound) -> None:
    closing = _open_round(act, args.round, args.seen)
    remedy = "Say of each whether they were seen, then close the round."
    _nothing_open(closing, remedy, but=_out_of_sight(act, closing))
    closing.state = "closed"
    closing.note = args.note or closing.note
    act.put(closing)


@command(Power.PERMISSION, CancelRound)
def cancel_round(act: Act, args: CancelRound) -> None:
    cancelled = _open_round(act, args.round, args.seen)
    bookings = [open_booking(act, stop.booking, stop.seen) for stop in args.stops]
    _are_stops(cancelled, bookings)
    for booking in bookings:
        booking.state = "cancelled"
        booking.reason, booking.cancel_reason = args.code, args.reason
        act.put(booking)
    remedy = "Sync, look at the round, and cancel it again."
    _nothing_open(cancelled, remedy, but=_out_of_sight(act, cancelled))
    cancelled.state = "cancelled"
    about_several(act, {booking.client_id for booking in bookings})
    act.put(cancelled)


def stops_of(of: Round) -> QuerySet[Booking]:
    """In the order of the walk. A visit that was moved to another day is no stop any more."""
    begins = datetime.combine(of.day, time(), ZoneInfo(of.practice.zone))
    there = Booking.objects.filter(round=of.pk, starts_at__gte=begins)
    return there.filter(starts_at__lt=begins + timedelta(days=1)).order_by("starts_at", "pk")


def _house(act: Act, facility: UUID) -> Facility:
    house = facility_for(act, facility)
    if not act.sees(house.pk):
        raise Refused(
            "not_found",
            "This facility was not found among yours.",
            "Ask an owner to give it to you.",
            field="facility",
        )
    return house


def _planned(act: Act, args: PlanRound, house: Facility) -> Round:
    if args.seen is None:
        fresh_id(Round, args.round, "round")
        return Round(id=args.round, practice=act.practice, facility=house)
    found = _open_round(act, args.round, args.seen)
    if found.facility_id != house.pk:
        raise Refused(
            "wrong_facility",
            "This round is another facility's.",
            "Sync, and plan it again from the facility.",
            field="facility",
        )
    return found


def _open_round(act: Act, round_id: UUID, seen: int) -> Round:
    found = Round.objects.filter(practice=act.practice, pk=round_id).first()
    if found is None or not act.sees(found.facility_id):
        raise Refused("not_found", "This round was not found.", "Sync, look again.", "round")
    if found.state != "planned":
        raise Refused(
            "round_over",
            "This round is closed or cancelled.",
            "Sync, and plan a new one if it is needed.",
            field="round",
            about=About("round", found.pk),
        )
    still_as_seen(act, found, seen, "round", "round")
    return found


def _moved_whole(planned: Round, moved: Collection[UUID]) -> None:
    """Raise Refused where a round would go to another day and leave a stop behind: one that is
    answered has been, and one that stands would be of a round that is elsewhere."""
    left = stops_of(planned).exclude(state="cancelled").exclude(pk__in=moved).first()
    if left is not None:
        raise Refused(
            "stop_left_behind",
            "This round is moved to another day without all of its stops.",
            "Sync, and move every stop with it, or plan a new round for that day.",
            field="visits",
            about=About("booking", left.pk),
        )


def _out_of_sight(act: Act, of: Round) -> set[UUID]:
    """The stops that stand of those who have moved out since, and whom the actor no longer has. A
    coordinator's phone can't name them; what becomes of them is for the owner to say."""
    elsewhere = stops_of(of).filter(state="booked").exclude(client__facility=of.facility_id)
    stand = dict(elsewhere.values_list("pk", "client_id"))
    seen = act.seen_of(set(stand.values()))
    return {booking for booking, client in stand.items() if client not in seen}


def _belong(planned: Round, bookings: Sequence[Booking]) -> None:
    """Raise Refused for a visit on another day, or to somebody who does not live in the house."""
    for booking in bookings:
        if not _on_its_day(planned, booking) or booking.client.facility_id != planned.facility_id:
            raise _no_stop(
                booking,
                "One visit is on another day, or its client does not live in this facility.",
                "visits",
            )


def _are_stops(of: Round, bookings: Sequence[Booking]) -> None:
    """Raise Refused for a visit that is none of the round. One to somebody who has moved out since
    it was planned is."""
    for booking in bookings:
        if not _on_its_day(of, booking) or booking.round != of.pk:
            raise _no_stop(booking, "One visit is on another day, or of another round.", "stops")


def _on_its_day(of: Round, booking: Booking) -> bool:
    return booking.starts_at.astimezone(ZoneInfo(of.practice.zone)).date() == of.day


def _no_stop(booking: Booking, text: str, field: str) -> Refused:
    return Refused(
        "not_a_stop",
        text,
        "Sync, look at the round, and leave that visit out.",
        field=field,
        about=About("booking", booking.pk),
    )


def _nothing_open(of: Round, remedy: str, but: Collection[UUID] = ()) -> None:
    left = stops_of(of).filter(state="booked").exclude(pk__in=but).first()
    if left is not None:
        raise Refused(
            "stop_open",
            "A visit of this round has no answer yet.",
            remedy,
            field="round",
            about=About("booking", left.pk),
        )


def rows(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for one in Round.objects.filter(pk__in=ids):
        yield (
            one.pk,
            RoundRow(facility=one.facility_id, day=one.day, state=one.state, note=one.note),
        )


feed_kind(FeedKind("round", Round, RoundRow, lambda row: row.facility_id, rows))
