"""The planner of several days and technicians: against every order, against published instances,
and what each proposal has to keep. Source where none is named: none but counting."""

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from heelwright.planning.rules.booking_order import in_booking_order
from heelwright.planning.rules.fortnight import (
    DUE,
    LOCKED,
    MAY_WAIT,
    OVERDUE,
    Call,
    Fortnight,
    Proposal,
    Shift,
    Unplaced,
    Worked,
)
from heelwright.planning.rules.planner import Cancelled, propose
from heelwright.planning.rules.problem import Break, Day
from heelwright.planning.rules.shift import may_take, windows
from heelwright.planning.rules.solver import Effort
from heelwright.planning.rules.vehicles import TooMuch
from tests.planning.days import random_day
from tests.planning.fortnights import HOUR, fortnight
from tests.planning.plain import Everything
from tests.planning.solomon import BEST_KNOWN, as_fortnight, heaviest, instance
from tests.run_length import runs

QUICK = Effort(patience=200, seconds=20)
AT_NINE, AT_NOON, AT_FIVE = 9 * HOUR, 12 * HOUR, 17 * HOUR
WHOLE_DAY = (0, 24 * HOUR)


def as_one_day(day: Day) -> Fortnight:
    """The home is the last place but one, where the day ends the last."""
    count = len(day.stops)
    drives: list[list[int | None]] = [
        *([*row, None, back] for row, back in zip(day.drives, day.last, strict=True)),
        [*day.first, None, None],
        [None] * (count + 2),
    ]
    ends_anywhere = all(way == 0 for way in day.last)
    shift = Shift(
        "one", 0, day.begins, day.ends, count, None if ends_anywhere else count + 1, day.breaks
    )
    calls = tuple(
        Call(
            place,
            stop.seconds,
            WHOLE_DAY,
            tuple((first, last + stop.seconds) for first, last in stop.windows),
            stop.weight,
        )
        for place, stop in enumerate(day.stops)
    )
    return Fortnight((shift,), calls, drives, day.grid)


LONG = [pytest.param(stops, marks=pytest.mark.long) for stops in (8, 9)]


@pytest.mark.parametrize("stops", [*range(1, 8), *LONG])
def test_one_day_is_as_good_as_the_best_of_all_orders(stops: int) -> None:
    rng = Random(f"heelwright planner {stops}")
    days = runs(20, 300) if stops <= 5 else runs(3, 60) if stops == 6 else runs(1, 12)
    for _ in range(days):
        drawn = random_day(rng, stops)
        weighed = tuple(replace(s, weight=rng.choice([1, 2, 3])) for s in drawn.stops)
        day = replace(drawn, stops=weighed)
        found = propose(as_one_day(day), QUICK)
        [worked] = found.days
        out = sum(weighed[one.call].weight for one in found.unplaced)
        assert (out, worked.plan.driving, worked.plan.end) == Everything(day).best, day


@pytest.mark.parametrize("seed", range(runs(2, 20)))
def test_a_proposal_keeps_what_it_must(seed: int) -> None:
    rng = Random(f"heelwright fortnight {seed}")
    asked, _ = fortnight(rng, technicians=3, clients=24, days=4)
    asked = with_booked(rng, asked)
    found = propose(asked, QUICK)
    kept(asked, found)
    assert found == propose(asked, QUICK)
    by_hand = in_booking_order(asked)
    assert weight(asked, found.days) >= weight(asked, by_hand)


def with_booked(rng: Random, asked: Fortnight) -> Fortnight:
    """Some of them are booked already, one of them before the shift begins."""
    calls = list(asked.calls)
    for shift, opens in ((0, 8), (1, 10), (2, 13)):
        at = asked.shifts[shift].midnight + opens * HOUR
        call = rng.randrange(len(calls))
        calls[call] = replace(
            calls[call], locked=shift, weight=LOCKED, periods=((at, at + calls[call].seconds),)
        )
    return replace(asked, calls=tuple(calls))


def kept(asked: Fortnight, found: Proposal) -> None:
    """Each visit by somebody who can, in its time, after the drive; breaks taken; nobody lost."""
    placed = []
    for number, (shift, day) in enumerate(zip(asked.shifts, found.days, strict=True)):
        now, where = None, shift.start
        pauses = dict(zip(day.plan.breaks, shift.breaks, strict=False))
        for visit in day.plan.visits:
            call = asked.calls[day.calls[visit.stop]]
            placed.append(day.calls[visit.stop])
            assert may_take(asked, number, call)
            assert any(w[0] <= visit.begins <= w[1] for w in windows(call, shift))
            if day.kept:
                continue
            assert call.at is not None
            drive = 0 if where is None else asked.drives[where][call.at]
            since = now or shift.midnight
            resting = sum(p.seconds for at, p in pauses.items() if since <= at < visit.begins)
            assert drive is not None
            assert now is None or now + drive + resting <= visit.begins
            now, where = visit.begins + call.seconds, call.at
        if not day.kept and now is not None:
            over = any(day.plan.end > pause.latest for pause in shift.breaks)
            assert len(day.plan.breaks) == len(shift.breaks) or not over
    booked = {c for c, call in enumerate(asked.calls) if call.locked is not None}
    assert booked <= set(placed)
    everybody = sorted([*placed, *(one.call for one in found.unplaced)])
    assert everybody == list(range(len(asked.calls)))


def weight(asked: Fortnight, days: Any) -> int:
    return sum(asked.calls[call].weight for day in days for call in day.placed())


def small(*calls: Call, shifts: int = 1, **more: Any) -> Fortnight:
    """A road of an hour each way from home; home is place 0."""
    drives = [[0, 1800, 3600], [1800, 0, 1800], [3600, 1800, 0]]
    day = Shift("ann", 0, AT_NINE, AT_FIVE, start=0, end=0)
    days = tuple(
        replace(
            day, midnight=n * 86_400, begins=day.begins + n * 86_400, ends=day.ends + n * 86_400
        )
        for n in range(shifts)
    )
    return Fortnight(tuple(replace(one, **more) for one in days), calls, drives)


def visit(**more: Any) -> Call:
    return replace(Call(1, 1800, WHOLE_DAY, (WHOLE_DAY,)), **more)


LUNCH = {"breaks": (Break(AT_NOON, AT_NOON, 3600),)}


@pytest.mark.parametrize(
    ("call", "shift", "reason"),
    [
        (visit(at=None), {}, "no_door"),
        (visit(skills=frozenset({"nails"})), {}, "no_skill"),
        (visit(within=(86_400, 90_000), periods=((86_400, 90_000),)), {}, "no_working_day"),
        (visit(periods=()), {}, "times_do_not_meet"),
        (visit(periods=((AT_FIVE, AT_FIVE + HOUR),)), {}, "times_do_not_meet"),
        (visit(at=2, periods=((AT_NINE, AT_NINE + 2000),)), {}, "too_far"),
        (visit(periods=((AT_NOON, AT_NOON + 1800),)), LUNCH, "break_in_the_way"),
    ],
)
def test_who_has_no_place_is_told_why(call: Call, shift: Any, reason: Any) -> None:
    assert propose(small(call, **shift), QUICK).unplaced == (Unplaced(0, reason),)


def test_where_not_all_have_room_those_who_can_wait_stay_out() -> None:
    long = [visit(seconds=3 * HOUR, weight=weight) for weight in (MAY_WAIT, DUE, OVERDUE)]
    assert propose(small(*long), QUICK).unplaced == (Unplaced(0, "no_room"),)


def test_somebody_is_seen_by_whom_they_prefer_if_it_is_not_far() -> None:
    asked = small(visit(preferred="bo"), shifts=1)
    both = replace(asked, shifts=(*asked.shifts, replace(asked.shifts[0], staff="bo")))
    assert [len(day.placed()) for day in propose(both, QUICK).days] == [0, 1]
    # Forty minutes farther there and back are more than it is worth.
    drives = [[*row, (row[0] or 0) + 1200] for row in asked.drives]
    far = replace(both, drives=[*drives, [1200, 3000, 4800, 0]])
    far = replace(far, shifts=(far.shifts[0], replace(far.shifts[1], start=3, end=3)))
    assert [len(day.placed()) for day in propose(far, QUICK).days] == [1, 0]


def test_who_is_overdue_is_seen_sooner_if_it_is_not_far() -> None:
    week = (0, 5 * 86_400)
    late = visit(within=week, periods=(week,), weight=OVERDUE)
    at = 3 * 86_400 + 10 * HOUR
    there = visit(locked=3, weight=LOCKED, periods=((at, at + 1800),))
    asked = small(late, there, shifts=5)
    # On the fourth day somebody goes there anyway; on the first it is an hour of driving.
    assert [len(day.placed()) for day in propose(asked, QUICK).days] == [0, 0, 0, 2, 0]
    near = replace(asked, drives=[[(way or 0) // 3 for way in row] for row in asked.drives])
    assert [len(day.placed()) for day in propose(near, QUICK).days] == [1, 0, 0, 1, 0]


def test_a_day_that_can_not_be_kept_as_it_is_booked_is_left_alone() -> None:
    at_ten = visit(locked=0, weight=LOCKED, periods=((10 * HOUR, 10 * HOUR + 1800),))
    no_drive = replace(at_ten, at=2, periods=((10 * HOUR + 1800, 11 * HOUR),))
    found = propose(small(visit(), at_ten, no_drive), QUICK)
    assert found.days[0].kept == "too_tight"
    assert found.days[0].placed() == [1, 2]
    assert found.unplaced == (Unplaced(0, "no_room"),)
    unknown = propose(small(visit(), replace(at_ten, at=None)), QUICK)
    assert unknown.days[0].kept == "no_door"


def test_a_day_has_at_most_twelve_visits_and_a_fuller_one_gets_no_more() -> None:
    short = visit(seconds=300, at=0)
    found = propose(small(*[short] * 14), QUICK)
    assert (len(found.days[0].placed()), len(found.unplaced)) == (12, 2)
    times = [AT_NINE + n * 900 for n in range(13)]
    booked = [replace(short, locked=0, weight=LOCKED, periods=((t, t + 300),)) for t in times]
    found = propose(small(short, *booked), QUICK)
    assert (found.days[0].kept, len(found.days[0].placed())) == ("full", 13)


def test_it_is_told_how_far_it_is_and_can_be_ended() -> None:
    asked, _ = fortnight(Random("heelwright heard"), technicians=2, clients=30, days=4)
    heard: list[float] = []
    propose(asked, Effort(patience=200, seconds=20), heard.append)
    assert heard == sorted(heard)
    assert 0 <= heard[0] <= heard[-1] <= 1

    def enough(_: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        propose(asked, QUICK, enough)


def test_more_than_the_memory_holds_is_refused_before_it_is_taken() -> None:
    asked = small(*[visit()] * 400, shifts=120)
    with pytest.raises(TooMuch):
        propose(asked, QUICK)


def test_a_published_instance_through_the_whole_planner() -> None:
    """Solomon's R101; the best known distance, with one decimal, is 1637.7 (from memory). The
    bench lets it take longer."""
    asked = instance("R101")
    found = propose(as_fortnight(asked), Effort(patience=400, seconds=30))
    assert found.unplaced == ()
    assert heaviest(asked, found) <= asked.capacity
    driving = sum(day.plan.driving for day in found.days)
    assert BEST_KNOWN["R101"] <= driving <= BEST_KNOWN["R101"] * 1.05


def test_who_books_by_hand_books_in_the_order_in_which_they_fall_due() -> None:
    far, near, third = visit(at=2), visit(at=1), visit(at=2)
    days = in_booking_order(small(far, near, third, shifts=2))
    assert times_of(days[0]) == [(0, 10 * HOUR), (1, 11 * HOUR), (2, 12 * HOUR)]
    planned = propose(small(far, near, third, shifts=2), QUICK)
    assert sum(day.plan.driving for day in planned.days) < days[0].plan.driving


def times_of(day: Worked) -> list[tuple[int, int]]:
    return [(day.calls[visit.stop], visit.begins) for visit in day.plan.visits]
