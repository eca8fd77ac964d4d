"""A proposal for a fortnight: who visits whom on which day, and why somebody has no place.

The solver shares the visits out over the shifts; each shift is then put in order by the exact
method, which knows breaks. What has no room there is tried in every other shift.
"""

from collections.abc import Callable, Sequence

from heelwright.planning.rules.booking_order import in_booking_order
from heelwright.planning.rules.exact import MOST_STOPS
from heelwright.planning.rules.fortnight import (
    Fortnight,
    Proposal,
    Reason,
    Unplaced,
    Worked,
)
from heelwright.planning.rules.problem import Reason as DayReason
from heelwright.planning.rules.shift import (
    alone,
    booked_only,
    dislike,
    in_order,
    may_take,
    with_one_more,
    worked,
)
from heelwright.planning.rules.solver import Effort, share_out

# How much of the whole the sharing out is, as the progress has it.
SHARING_OUT = 0.9

# Hears how far it has come, from 0 to 1. Raises Cancelled to end it.
Hear = Callable[[float], None]


class Cancelled(Exception):
    """Nobody waits for the proposal any more."""


def propose(fortnight: Fortnight, effort: Effort, hear: Hear = lambda _: None) -> Proposal:
    """The same for the same problem and effort, unless the time for it runs out."""
    days = [_booked(fortnight, number) for number in range(len(fortnight.shifts))]
    open_calls = [
        number
        for number, call in enumerate(fortnight.calls)
        if call.locked is None and call.at is not None and _takers(fortnight, days, number)
    ]
    if open_calls:
        shares = _shares(fortnight, days, open_calls, effort, hear)
        days = _in_order(fortnight, days, shares, hear)
        days = _second_try(fortnight, days, open_calls, hear)
        days = min(days, _by_hand(fortnight), key=lambda each: _worth(fortnight, each))
    placed = {call for day in days for call in day.placed()}
    unplaced = [
        Unplaced(number, _why(fortnight, number))
        for number, call in enumerate(fortnight.calls)
        if call.locked is None and number not in placed
    ]
    return Proposal(tuple(days), tuple(unplaced))


def _booked(fortnight: Fortnight, number: int) -> Worked:
    booked = [c for c, call in enumerate(fortnight.calls) if call.locked == number]
    return booked_only(fortnight, number, booked)


def _takers(fortnight: Fortnight, days: Sequence[Worked], call: int) -> list[int]:
    """The shifts that could take a visit."""
    return [
        number
        for number, day in enumerate(days)
        if day.kept is None and may_take(fortnight, number, fortnight.calls[call])
    ]


def _shares(
    fortnight: Fortnight, days: Sequence[Worked], calls: list[int], effort: Effort, hear: Hear
) -> list[list[int]]:
    """Of one day with few visits there is nothing to share out."""
    free = [number for number, day in enumerate(days) if day.kept is None]
    if len(free) == 1 and len(calls) + len(days[free[0]].calls) <= MOST_STOPS:
        here = [*days[free[0]].placed(), *calls]
        return [here if number == free[0] else [] for number in range(len(days))]
    takers = {call: _takers(fortnight, days, call) for call in calls}
    outset = in_booking_order(fortnight)
    return share_out(fortnight, days, takers, outset, effort, lambda part: hear(part * SHARING_OUT))


def _in_order(
    fortnight: Fortnight, days: Sequence[Worked], shares: Sequence[Sequence[int]], hear: Hear
) -> list[Worked]:
    found = []
    for number, (day, share) in enumerate(zip(days, shares, strict=True)):
        hear(SHARING_OUT + (1 - SHARING_OUT) * number / len(days))
        # As the solver has them, with those that are booked among them.
        found.append(worked(fortnight, number, share) if share and day.kept is None else day)
    return found


def _by_hand(fortnight: Fortnight) -> list[Worked]:
    """As they would be booked, each day in its best order: no proposal is worse than that."""
    days = in_booking_order(fortnight)
    return [
        day if day.kept else worked(fortnight, number, day.placed())
        for number, day in enumerate(days)
    ]


def _worth(fortnight: Fortnight, days: Sequence[Worked]) -> tuple[int, int]:
    weight = cost = 0
    for number, day in enumerate(days):
        placed = day.placed()
        weight += sum(fortnight.calls[call].weight for call in placed)
        cost += day.plan.driving + sum(dislike(fortnight, number, call) for call in placed)
    return (-weight, cost)


def _second_try(
    fortnight: Fortnight, days: list[Worked], calls: Sequence[int], hear: Hear
) -> list[Worked]:
    """Whoever was left over goes where the way is shortest, those who can least wait first; where
    there is no room, one other visit makes some by going elsewhere."""
    placed = {call for day in days for call in day.placed()}
    over = [call for call in calls if call not in placed]
    for call in sorted(over, key=lambda each: (-fortnight.calls[each].weight, each)):
        hear(1)
        place = _place(fortnight, days, call)
        moves = [place] if place else _exchange(fortnight, days, call, hear)
        for number, new in moves:
            days[number] = worked(fortnight, number, new.placed())
    return days


Move = tuple[int, Worked]


def _place(
    fortnight: Fortnight, days: Sequence[Worked], call: int, but: int | None = None
) -> Move | None:
    """Where one more visit means the least driving."""
    found: tuple[int, int, Worked] | None = None
    for number in _takers(fortnight, days, call):
        new = None if number == but else with_one_more(fortnight, number, days[number], call)
        if new is None:
            continue
        cost = new.plan.driving - days[number].plan.driving
        cost += dislike(fortnight, number, call)
        if found is None or cost < found[0]:
            found = (cost, number, new)
    return found and found[1:]


def _exchange(
    fortnight: Fortnight, days: Sequence[Worked], call: int, hear: Hear
) -> Sequence[Move]:
    for number in _takers(fortnight, days, call):
        hear(1)
        order = days[number].placed()
        for out in order:
            if fortnight.calls[out].locked is not None:
                continue
            fewer = in_order(fortnight, number, [each for each in order if each != out])
            new = fewer and with_one_more(fortnight, number, fewer, call)
            place = _place(fortnight, days, out, but=number) if new else None
            if new and place:
                return [(number, new), place]
    return []


def _why(fortnight: Fortnight, number: int) -> Reason:
    """The first thing that no shift of all has, then what an empty shift would say to it."""
    call = fortnight.calls[number]
    if call.at is None:
        return "no_door"
    able = [n for n, shift in enumerate(fortnight.shifts) if call.skills <= shift.skills]
    if not able:
        return "no_skill"
    opens, closes = call.within
    there = [
        n for n in able if opens < fortnight.shifts[n].ends and fortnight.shifts[n].begins < closes
    ]
    if not there:
        return "no_working_day"
    there = [n for n in there if may_take(fortnight, n, call)]
    said: set[DayReason | None] = {_against(fortnight, n, number) for n in there}
    if None in said:
        return "no_room"
    if "break_in_the_way" in said:
        return "break_in_the_way"
    return "too_far" if "too_far" in said else "times_do_not_meet"


def _against(fortnight: Fortnight, number: int, call: int) -> DayReason | None:
    left = alone(fortnight, number, call).left
    return left[0].reason if left else None
