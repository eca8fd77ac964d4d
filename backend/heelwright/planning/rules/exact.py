"""The best order of a day, exactly: as many stops as can be, by their weight, then the least
driving, then the earliest end. Where the given order is as good as any, it stays.

Dynamic programming over sets of stops. Of the ways to have been at the same stops, to stand at the
same one and to have taken as many breaks, those stay that neither drive longer nor are later than
another. The twin is `domain/planning/exact.ts`; both try everything in the same order.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from heelwright.planning.rules.problem import Day, Left, Plan, Reason, Visit

MOST_STOPS = 12


@dataclass(frozen=True, slots=True)
class Way:
    """A day up to now: done at `order[-1]` at `time`, with so many breaks taken."""

    driving: int
    time: int
    order: tuple[int, ...] = ()
    taken: int = 0
    visits: tuple[Visit, ...] = ()
    breaks: tuple[int, ...] = ()


def best(day: Day) -> Plan:
    """The best plan; stops that have no place in it are left, each with a reason."""
    if len(day.stops) > MOST_STOPS:
        raise ValueError(f"at most {MOST_STOPS} stops")
    given = along(day, range(len(day.stops)))
    found = min(_finished(day), key=partial(_worth, day), default=Way(0, day.begins))
    if given is not None and (given.driving, given.end) == (found.driving, found.time):
        return given
    there = set(found.order)
    left = [Left(stop, _why(day, stop)) for stop in range(len(day.stops)) if stop not in there]
    return replace(_plan(found), left=tuple(left))


def along(day: Day, order: Sequence[int]) -> Plan | None:
    """The plan of all these stops in this order; None where they can't be done so."""
    ways = [Way(0, day.begins)]
    for stop in order:
        ways = _kept(after for way in ways for after in _steps(day, way, stop))
    ended = [done for way in ways for done in _ends(day, way)]
    return _plan(min(ended, key=partial(_worth, day))) if ended else None


def _worth(day: Day, way: Way) -> tuple[int, int, int, tuple[int, ...]]:
    weight = sum(day.stops[stop].weight for stop in way.order)
    return (-weight, way.driving, way.time, way.order)


def _plan(way: Way) -> Plan:
    return Plan(way.driving, way.time, way.visits, way.breaks)


def _finished(day: Day) -> Iterator[Way]:
    """Every way that may be the best, brought to the end of the day."""
    everyone = range(len(day.stops))
    # A set comes before all that hold it.
    ways: list[dict[tuple[int, int], list[Way]]] = [{} for _ in range(1 << len(day.stops))]
    ways[0] = {(-1, 0): [Way(0, day.begins)]}
    for been in range(len(ways)):
        for way in (way for held in ways[been].values() for way in held):
            yield from _ends(day, way)
            for stop in everyone:
                if not been >> stop & 1:
                    for after in _steps(day, way, stop):
                        held = ways[been | 1 << stop].setdefault((stop, after.taken), [])
                        _keep(held, after)
        ways[been] = {}


def _kept(ways: Iterator[Way]) -> list[Way]:
    by_breaks: dict[int, list[Way]] = {}
    for way in ways:
        _keep(by_breaks.setdefault(way.taken, []), way)
    return [way for held in by_breaks.values() for way in held]


def _keep(held: list[Way], new: Way) -> None:
    if not any(_at_least_as_good(way, new) for way in held):
        held[:] = [way for way in held if not _at_least_as_good(new, way)]
        held.append(new)


def _at_least_as_good(one: Way, other: Way) -> bool:
    if one.driving == other.driving and one.time == other.time:
        return one.order <= other.order
    return one.driving <= other.driving and one.time <= other.time


def _steps(day: Day, way: Way, stop: int) -> Iterator[Way]:
    """On to a stop, with each number of breaks before the drive and after it."""
    drive = day.drives[way.order[-1]][stop] if way.order else day.first[stop]
    if drive is None:
        return
    for before in _with_breaks(day, way):
        there = replace(before, driving=before.driving + drive, time=before.time + drive)
        for ready in _with_breaks(day, there):
            begins = _begins(day, stop, ready.time)
            if begins is None:
                continue
            visit = Visit(stop, there.time, begins)
            done = begins + day.stops[stop].seconds
            if done <= day.ends and not _missed(day, ready.taken, done):
                yield Way(
                    ready.driving,
                    done,
                    (*way.order, stop),
                    ready.taken,
                    (*way.visits, visit),
                    ready.breaks,
                )


def _ends(day: Day, way: Way) -> Iterator[Way]:
    drive = day.last[way.order[-1]] if way.order else 0
    if drive is None:
        return
    for before in _with_breaks(day, way):
        end = before.time + drive
        if end <= day.ends and not _missed(day, before.taken, end):
            yield replace(before, driving=before.driving + drive, time=end)


def _with_breaks(day: Day, way: Way) -> Iterator[Way]:
    """As it is, and with each number of breaks taken here and now."""
    yield way
    for one in day.breaks[way.taken :]:
        begins = max(way.time, one.earliest)
        if begins > one.latest:
            return
        way = replace(
            way, time=begins + one.seconds, taken=way.taken + 1, breaks=(*way.breaks, begins)
        )
        yield way


def _missed(day: Day, taken: int, now: int) -> bool:
    """Whether it is too late for a break that was not taken."""
    return any(now > one.latest for one in day.breaks[taken:])


def _begins(day: Day, stop: int, ready: int) -> int | None:
    for earliest, latest in day.stops[stop].windows:
        begins = earliest if ready <= earliest else -(-ready // day.grid) * day.grid
        if begins <= latest:
            return begins
    return None


def _why(day: Day, stop: int) -> Reason:
    """By itself in the same day, with one difficulty less each time."""
    alone = replace(
        day,
        stops=(day.stops[stop],),
        drives=((0,),),
        first=(day.first[stop],),
        last=(day.last[stop],),
    )
    if along(alone, [0]):
        return "no_room"
    if along(replace(alone, breaks=()), [0]):
        return "break_in_the_way"
    here = replace(alone, breaks=(), first=(0,), last=(0,))
    return "too_far" if along(here, [0]) else "outside_hours"
