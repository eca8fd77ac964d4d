"""Every order of a day, one after the other, without a thought saved: the check of the exact
method. Shares none of its code."""

from heelwright.planning.rules.problem import Day

Worth = tuple[int, int, int]


class Everything:
    """Drives, waits, works and pauses in every order; keeps what the best of them is worth: the
    weight of the stops left out, driving, end."""

    def __init__(self, day: Day) -> None:
        self.day = day
        self.best: Worth = (sum(stop.weight for stop in day.stops), 0, day.begins)
        self.orders: set[tuple[int, ...]] = {()}
        self._go(day.begins, 0, (), 0)

    def _go(self, now: int, driving: int, been: tuple[int, ...], taken: int) -> None:
        """Done with the last of `been`: home, a break, or off to another stop."""
        day = self.day
        self._home(now, driving, been, taken)
        if (after := self._pause(now, taken)) is not None:
            self._go(after, driving, been, taken + 1)
        for stop in range(len(day.stops)):
            way = day.drives[been[-1]][stop] if been else day.first[stop]
            if stop not in been and way is not None:
                self._door(now + way, driving + way, (*been, stop), taken)

    def _door(self, now: int, driving: int, been: tuple[int, ...], taken: int) -> None:
        """Before the door of the last of `been`: a break, or to work."""
        day, stop = self.day, self.day.stops[been[-1]]
        if (after := self._pause(now, taken)) is not None:
            self._door(after, driving, been, taken + 1)
        for earliest, latest in stop.windows:
            begins = next(
                (t for t in range(max(now, earliest), max(now, earliest) + day.grid)
                 if t == earliest or t % day.grid == 0),
                None,
            )  # fmt: skip
            if begins is not None and begins <= latest:
                if begins + stop.seconds <= day.ends:
                    self._go(begins + stop.seconds, driving, been, taken)
                return

    def _pause(self, now: int, taken: int) -> int | None:
        if taken == len(self.day.breaks):
            return None
        one = self.day.breaks[taken]
        return max(now, one.earliest) + one.seconds if now <= one.latest else None

    def _home(self, now: int, driving: int, been: tuple[int, ...], taken: int) -> None:
        way = self.day.last[been[-1]] if been else 0
        if way is None or now + way > self.day.ends:
            return
        if any(now + way > one.latest for one in self.day.breaks[taken:]):
            return
        out = sum(s.weight for n, s in enumerate(self.day.stops) if n not in been)
        worth = (out, driving + way, now + way)
        if worth < self.best:
            self.best, self.orders = worth, set()
        if worth == self.best:
            self.orders.add(been)
