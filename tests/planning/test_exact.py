"""The best order of a day against every order, and by hand. Source: none but counting."""

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from heelwright.planning.rules.exact import MOST_STOPS, along, best
from heelwright.planning.rules.problem import Break, Day, Left, Plan, Stop
from tests.planning.days import HOUR, random_day
from tests.planning.plain import Everything
from tests.run_length import runs

AT_NINE, AT_NOON, AT_FIVE = 9 * HOUR, 12 * HOUR, 17 * HOUR
ANY = ((0, 24 * HOUR),)


def row(*at: int, home: int = 0, **more: Any) -> Day:
    """Stops along a straight road, so many minutes from its beginning, half an hour of work
    each."""
    return replace(
        Day(
            begins=AT_NINE,
            ends=AT_FIVE,
            stops=tuple(Stop(1800, ANY) for _ in at),
            drives=tuple(tuple(abs(a - b) * 60 for b in at) for a in at),
            first=tuple(abs(a - home) * 60 for a in at),
            last=tuple(abs(a - home) * 60 for a in at),
        ),
        **more,
    )


def order(plan: Plan) -> list[int]:
    return [visit.stop for visit in plan.visits]


LONG = [pytest.param(stops, marks=pytest.mark.long) for stops in (8, 9)]


@pytest.mark.parametrize("stops", [*range(8), *LONG])
def test_no_order_is_better(stops: int) -> None:
    rng = Random(f"heelwright order {stops}")
    days = runs(30, 300) if stops <= 5 else runs(4, 60) if stops == 6 else runs(1, 12)
    for _ in range(days):
        day = random_day(rng, stops)
        every, plan = Everything(day), best(day)
        assert (len(plan.left), plan.driving, plan.end) == every.best, day
        assert tuple(order(plan)) in every.orders, day
        assert {visit.stop for visit in plan.visits}.isdisjoint(one.stop for one in plan.left)
        if tuple(range(stops)) in every.orders:
            assert order(plan) == list(range(stops))


def test_a_plan_keeps_what_it_says() -> None:
    """Each arrival is the drive after what came before, each beginning in its window."""
    rng = Random("heelwright kept")
    for _ in range(runs(60, 2_000)):
        day = random_day(rng, rng.randrange(1, 8))
        plan = best(day)
        now, where, pauses = day.begins, -1, list(zip(plan.breaks, day.breaks, strict=False))
        for visit in plan.visits:
            drive = day.drives[where][visit.stop] if where >= 0 else day.first[visit.stop]
            assert drive is not None
            assert visit.arrives == paused(now, pauses, visit.arrives) + drive
            stop = day.stops[visit.stop]
            assert any(first <= visit.begins <= last for first, last in stop.windows)
            assert visit.begins >= paused(visit.arrives, pauses, visit.begins)
            now, where = visit.begins + stop.seconds, visit.stop


def paused(now: int, pauses: list[tuple[int, Break]], until: int) -> int:
    """When the breaks that begin before `until` are over; takes them away."""
    while pauses and pauses[0][0] < until:
        begins, one = pauses.pop(0)
        assert one.earliest <= begins <= one.latest and begins >= now
        now = begins + one.seconds
    return now


def test_along_a_road_nobody_turns_twice() -> None:
    # Out to the farthest and back, either way round; the one that is first as given.
    plan = best(row(30, 10, 20))
    assert (plan.driving, order(plan)) == (60 * 60, [0, 2, 1])


def test_an_order_that_is_as_good_as_any_stays() -> None:
    assert order(best(row(10, 10, 10))) == [0, 1, 2]
    assert order(best(row(30, 20, 10))) == [0, 1, 2]
    # To begin with the second would be earlier for a while; the last is at three o'clock anyway.
    day = row(10, 10, 10, 10)
    later = Stop(1800, ((AT_NINE + HOUR, AT_FIVE),))
    last = Stop(1800, ((AT_NOON + 3 * HOUR, AT_NOON + 3 * HOUR),))
    waits = replace(day, stops=(later, day.stops[1], day.stops[2], last))
    assert order(best(waits)) == [0, 1, 2, 3]


def test_a_fixed_time_is_kept_to_the_second_and_the_others_begin_on_the_grid() -> None:
    fixed = Stop(1800, ((AT_NOON + 60, AT_NOON + 60),))
    day = row(7, 9, grid=300)
    plan = best(replace(day, stops=(fixed, day.stops[1])))
    # 9 minutes to the second stop, on to a grid of 5: 09:10.
    assert {v.stop: v.begins for v in plan.visits} == {0: AT_NOON + 60, 1: AT_NINE + 600}


def test_a_break_is_taken_between_stops_and_not_by_a_day_that_is_over() -> None:
    lunch = Break(AT_NOON, AT_NOON + HOUR, 1800)
    assert best(row(10, breaks=(lunch,))).breaks == ()
    late = Stop(1800, ((AT_NOON + HOUR, AT_FIVE),))
    plan = best(replace(row(10, breaks=(lunch,)), stops=(late,)))
    # Home at 13:40, after the break's latest beginning: it is due, while the technician waits.
    assert (plan.breaks, plan.visits[0].begins) == ((AT_NOON,), AT_NOON + HOUR)


@pytest.mark.parametrize(
    ("stop", "reason"),
    [
        (Stop(1800, ((AT_FIVE + HOUR, AT_FIVE + 2 * HOUR),)), "outside_hours"),
        (Stop(9 * HOUR, ANY), "outside_hours"),
        (Stop(1800, ((AT_NINE, AT_NINE + 60),)), "too_far"),
        (Stop(7 * HOUR + 1800, ((AT_NINE, AT_NINE + HOUR),)), "break_in_the_way"),
        (Stop(7 * HOUR, ANY), "no_room"),
    ],
)
def test_what_has_no_place_says_why(stop: Stop, reason: str) -> None:
    day = row(10, 11, breaks=(Break(AT_NOON, AT_NOON + HOUR, 1800),))
    if reason == "no_room":
        day = replace(day, breaks=())
    elif reason == "too_far":
        day = row(10, 11)
    plan = best(replace(day, stops=(Stop(3600, ANY), stop)))
    assert (order(plan), plan.left) == ([0], (Left(1, reason),))  # type: ignore[arg-type]


def test_where_no_road_leads_nobody_goes() -> None:
    day = row(10, 20)
    cut = replace(day, drives=((0, None), (None, 0)), first=(600, None))
    assert best(cut).left == (Left(1, "too_far"),)


def test_an_order_that_can_not_be_kept_is_none() -> None:
    day = row(10, 20)
    early = replace(day, stops=(day.stops[0], Stop(1800, ((AT_NINE, AT_NINE + 1800),))))
    assert along(early, [0, 1]) is None
    assert order(best(early)) == [1, 0]


def test_more_than_it_can_try_is_refused() -> None:
    with pytest.raises(ValueError, match="at most 12"):
        best(row(*range(MOST_STOPS + 1)))
