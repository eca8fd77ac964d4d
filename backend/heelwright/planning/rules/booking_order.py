"""The same visits as they are booked without a plan: one after the other in the order given, such
as that in which they fall due, each at the earliest time that anybody has free. Nothing is moved
afterwards. What a proposal is held against.
"""

from dataclasses import replace

from heelwright.planning.rules.exact import MOST_STOPS, along
from heelwright.planning.rules.fortnight import Fortnight, Worked
from heelwright.planning.rules.problem import Plan
from heelwright.planning.rules.shift import booked_only, day_of, may_take


def in_booking_order(fortnight: Fortnight) -> list[Worked]:
    """One for each shift. Who finds no time stays out."""
    days = []
    for number in range(len(fortnight.shifts)):
        booked = [c for c, call in enumerate(fortnight.calls) if call.locked == number]
        days.append(booked_only(fortnight, number, booked))
    for call, asked in enumerate(fortnight.calls):
        if asked.locked is None and asked.at is not None:
            found = _earliest(fortnight, days, call)
            if found is not None:
                number, day = found
                days[number] = day
    return days


def _earliest(fortnight: Fortnight, days: list[Worked], call: int) -> tuple[int, Worked] | None:
    found: tuple[int, int, Worked] | None = None
    for number, day in enumerate(days):
        shift = fortnight.shifts[number]
        if day.kept or not may_take(fortnight, number, fortnight.calls[call]):
            continue
        if found is not None and found[0] <= shift.begins:
            continue
        new = _first_gap(fortnight, number, day, call)
        if new is not None:
            begins, with_it = new
            if found is None or begins < found[0]:
                found = (begins, number, with_it)
    return found and found[1:]


def _first_gap(
    fortnight: Fortnight, number: int, day: Worked, call: int
) -> tuple[int, Worked] | None:
    order = day.placed()
    if len(order) == MOST_STOPS:
        return None
    calls = (*order, call)
    problem = day_of(fortnight, number, calls)
    fixed = tuple(
        replace(stop, windows=((visit.begins, visit.begins),))
        for stop, visit in zip(problem.stops, day.plan.visits, strict=False)
    )
    problem = replace(problem, stops=(*fixed, problem.stops[-1]))
    ways = [
        along(problem, [*range(place), len(order), *range(place, len(order))])
        for place in range(len(calls))
    ]
    times = [(_begins(plan, len(order)), plan) for plan in ways if plan is not None]
    if not times:
        return None
    begins, plan = min(times, key=lambda one: one[0])
    return begins, Worked(calls, plan)


def _begins(plan: Plan, stop: int) -> int:
    return next(visit.begins for visit in plan.visits if visit.stop == stop)
