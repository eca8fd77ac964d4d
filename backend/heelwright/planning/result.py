"""A proposal as a phone reads it."""

import itertools
from collections.abc import Sequence
from datetime import UTC, datetime

from heelwright.planning.asking import NotPlaced, Plan, PlannedDay, PlannedDriving, PlannedVisit
from heelwright.planning.gather import Gathered
from heelwright.planning.rules.booking_order import in_booking_order
from heelwright.planning.rules.fortnight import Proposal, Worked


def told(gathered: Gathered, proposal: Proposal) -> Plan:
    days = proposal.days
    return Plan(
        days=[_day(gathered, number, day) for number, day in enumerate(days) if day.placed()],
        not_placed=[
            NotPlaced(client=gathered.visits[one.call].client.pk, reason=one.reason)
            for one in proposal.unplaced
        ],
        planned=_driving(gathered, days),
        by_hand=_driving(gathered, in_booking_order(gathered.fortnight)),
        without_hours=list(gathered.without_hours),
        guessed=gathered.roads.guessed,
    )


def _day(gathered: Gathered, number: int, day: Worked) -> PlannedDay:
    staff, date = gathered.days[number]
    return PlannedDay(
        staff=staff,
        day=date,
        visits=[_visit(gathered, day.calls[visit.stop], visit.begins) for visit in day.plan.visits],
        breaks=[_moment(begins) for begins in day.plan.breaks],
        ends_at=_moment(day.plan.end),
        seconds=day.plan.driving,
        metres=_metres(gathered, number, day),
        kept=day.kept,
    )


def _visit(gathered: Gathered, call: int, begins: int) -> PlannedVisit:
    visit = gathered.visits[call]
    booking = visit.booking
    return PlannedVisit(
        client=visit.client.pk,
        booking=booking.pk if booking else None,
        starts_at=_moment(begins),
        minutes=visit.minutes,
        place=booking.place if booking else "facility" if visit.client.facility_id else "home",
        service=visit.service,
        fixed=visit.fixed,
    )


def _driving(gathered: Gathered, days: Sequence[Worked]) -> PlannedDriving:
    return PlannedDriving(
        visits=sum(len(day.placed()) for day in days),
        seconds=sum(day.plan.driving for day in days if day.placed()),
        metres=sum(_metres(gathered, number, day) for number, day in enumerate(days)),
    )


def _metres(gathered: Gathered, number: int, day: Worked) -> int:
    """Where a door is not known, without the ways to it."""
    shift = gathered.fortnight.shifts[number]
    stops = [gathered.fortnight.calls[call].at for call in day.placed()]
    places = [shift.start, *stops, shift.end] if stops else []
    ways = gathered.roads.metres
    pairs = itertools.pairwise(places)
    return sum(ways[a][b] or 0 for a, b in pairs if a is not None and b is not None)


def _moment(epoch: int) -> datetime:
    return datetime.fromtimestamp(epoch, UTC)
