"""One technician's day of a fortnight, as a problem for the exact method."""

import itertools
from collections.abc import Sequence
from dataclasses import replace

from heelwright.planning.rules.exact import MOST_STOPS, along, best
from heelwright.planning.rules.fortnight import OVERDUE, Call, Fortnight, Kept, Shift, Worked
from heelwright.planning.rules.problem import Day, Plan, Stop, Visit

Window = tuple[int, int]

DAY_S = 86_400
# In seconds of driving: what it is worth that somebody is seen by whom they prefer. Common
# practice, no source.
PREFERRED_S = 20 * 60
# Likewise, that somebody who is overdue is seen a day sooner.
SOONER_S = 10 * 60


def windows(call: Call, shift: Shift) -> tuple[Window, ...]:
    """When a visit may begin in a shift. One that is booked keeps its time, whatever the hours."""
    found = []
    for opens, closes in call.periods:
        booked = call.locked is not None
        first = opens if booked else max(opens, shift.begins)
        last = (closes if booked else min(closes, shift.ends)) - call.seconds
        if first <= last:
            found.append((first, last))
    return tuple(found)


def may_take(fortnight: Fortnight, number: int, call: Call) -> bool:
    """Whether a visit could be in a shift at all, by who makes it and when."""
    shift = fortnight.shifts[number]
    if call.locked is not None:
        return call.locked == number
    return call.skills <= shift.skills and bool(windows(call, shift))


def dislike(fortnight: Fortnight, number: int, call: int) -> int:
    """What it costs, as driving, that somebody is seen in this shift: not by whom they prefer, or
    late though they are overdue."""
    asked, shift = fortnight.calls[call], fortnight.shifts[number]
    other = 0 if asked.preferred in (None, shift.staff) else PREFERRED_S
    if asked.weight != OVERDUE:
        return other
    first = min(each.midnight for each in fortnight.shifts)
    return other + SOONER_S * round((shift.midnight - first) / DAY_S)


def day_of(fortnight: Fortnight, number: int, calls: Sequence[int]) -> Day:
    """These visits as a day. It is longer than the shift where a booked one lies outside of it."""
    shift = fortnight.shifts[number]
    asked = [fortnight.calls[call] for call in calls]
    first = tuple(_drive(fortnight, shift.start, call.at) for call in asked)
    last = tuple(_drive(fortnight, call.at, shift.end) for call in asked)
    booked = [
        (call.periods[0], first[stop] or 0, last[stop] or 0)
        for stop, call in enumerate(asked)
        if call.locked is not None
    ]
    return Day(
        begins=min([shift.begins, *(opens - there for (opens, _), there, _ in booked)]),
        ends=max([shift.ends, *(closes + back for (_, closes), _, back in booked)]),
        stops=tuple(Stop(call.seconds, windows(call, shift), call.weight) for call in asked),
        drives=tuple(tuple(_drive(fortnight, a.at, b.at) for b in asked) for a in asked),
        first=first,
        last=last,
        breaks=shift.breaks,
        grid=fortnight.grid,
    )


def worked(fortnight: Fortnight, number: int, calls: Sequence[int]) -> Worked:
    """The best that can be made of these visits in a shift; `plan.left` has the others."""
    return Worked(tuple(calls), best(day_of(fortnight, number, calls)))


def in_order(fortnight: Fortnight, number: int, calls: Sequence[int]) -> Worked | None:
    """These visits in this order; None where they can't be made so."""
    plan = along(day_of(fortnight, number, calls), range(len(calls)))
    return Worked(tuple(calls), plan) if plan else None


def with_one_more(fortnight: Fortnight, number: int, day: Worked, call: int) -> Worked | None:
    """The day with one more visit somewhere in its order, with the least driving; None where it has
    no room."""
    order = day.placed()
    if len(order) == MOST_STOPS:
        return None
    calls = (*order, call)
    problem = day_of(fortnight, number, calls)
    # The new one is the last stop of the problem.
    ways = [
        along(problem, [*range(place), len(order), *range(place, len(order))])
        for place in range(len(calls))
    ]
    plans = [plan for plan in ways if plan is not None]
    if not plans:
        return None
    return Worked(calls, min(plans, key=lambda plan: (plan.driving, plan.end)))


def booked_only(fortnight: Fortnight, number: int, booked: Sequence[int]) -> Worked:
    """The shift with its booked visits alone. Where they can't all be kept, are more than can be
    tried, or one of their doors is unknown, it stays as it is."""
    doors = all(fortnight.calls[call].at is not None for call in booked)
    kept: Kept | None = None
    if not doors:
        kept = "no_door"
    elif len(booked) >= MOST_STOPS:
        kept = "full"
    else:
        day = worked(fortnight, number, booked)
        if not day.plan.left:
            return day
        kept = "too_tight"
    return Worked(tuple(booked), _as_it_stands(fortnight, number, booked), kept)


def alone(fortnight: Fortnight, number: int, call: int) -> Plan:
    """A visit in a shift that has nothing else."""
    return best(day_of(fortnight, number, [call]))


def _as_it_stands(fortnight: Fortnight, number: int, booked: Sequence[int]) -> Plan:
    """In the order of their times, with the drives between them that are known."""
    shift = fortnight.shifts[number]
    calls = [fortnight.calls[call] for call in booked]
    order = sorted(range(len(calls)), key=lambda stop: calls[stop].periods[0])
    places = [shift.start, *(calls[stop].at for stop in order), shift.end]
    driving = sum(_drive(fortnight, a, b) or 0 for a, b in itertools.pairwise(places))
    visits = tuple(Visit(stop, *_at(calls[stop])) for stop in order)
    return replace(
        Plan(driving, max((c.periods[0][1] for c in calls), default=shift.begins)), visits=visits
    )


def _at(call: Call) -> Window:
    return call.periods[0][0], call.periods[0][0]


def _drive(fortnight: Fortnight, start: int | None, end: int | None) -> int | None:
    """0 where the day begins or ends at the visit."""
    return 0 if start is None or end is None else fortnight.drives[start][end]
