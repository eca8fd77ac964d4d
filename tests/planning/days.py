"""Random days for the planner: invented, by a seed."""

from random import Random

from heelwright.planning.rules.problem import Break, Day, Stop

HOUR = 3600


def random_day(rng: Random, stops: int) -> Day:
    """Some are easy, some have little room, some none."""
    places = [(rng.randrange(12_000), rng.randrange(12_000)) for _ in range(stops + 2)]
    begins = rng.randrange(7, 10) * HOUR
    ends = begins + rng.choice([6, 8, 10, 12]) * HOUR

    def drive(one: int, other: int) -> int | None:
        if rng.random() < 0.01:
            return None
        (x, y), (x2, y2) = places[one], places[other]
        straight = int(((x - x2) ** 2 + (y - y2) ** 2) ** 0.5)
        # Rounded, so that ways tie; a little longer one way than the other.
        return (straight // 6 + rng.choice([0, 0, 120])) // 60 * 60

    return Day(
        begins=begins,
        ends=ends,
        stops=tuple(_stop(rng, begins, ends) for _ in range(stops)),
        drives=tuple(tuple(drive(i, j) for j in range(stops)) for i in range(stops)),
        first=tuple(drive(stops, j) for j in range(stops)),
        last=tuple(drive(i, stops + 1) for i in range(stops))
        if rng.random() < 0.8
        else (0,) * stops,
        breaks=_breaks(rng, begins),
        grid=rng.choice([1, 300]),
    )


def _stop(rng: Random, begins: int, ends: int) -> Stop:
    seconds = rng.choice([20, 30, 40, 45, 60]) * 60
    kind = rng.random()
    at = rng.randrange(begins, ends, 900)
    if kind < 0.5:
        windows: tuple[tuple[int, int], ...] = ((begins, ends),)
    elif kind < 0.6:
        windows = ((at, at),)
    elif kind < 0.85:
        windows = ((at, at + rng.choice([1, 2, 4]) * HOUR),)
    else:
        windows = ((at, at + HOUR), (at + 3 * HOUR, at + 5 * HOUR))
    return Stop(seconds, windows)


def _breaks(rng: Random, begins: int) -> tuple[Break, ...]:
    noon = Break(begins + 3 * HOUR, begins + 5 * HOUR, 1800)
    late = Break(begins + 6 * HOUR, begins + 8 * HOUR, 900)
    return rng.choice([(), (noon,), (noon,), (noon, late)])
