"""How far a device's clock is believed.

A wrong clock costs no work: nothing is refused for the time at which it says it was made. No order
depends on these clocks. What a claimed time would grant is reckoned from the time of receipt where
the claim lies ahead of it (`by_now`), and the owner is told of a clock that strays.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from heelwright.declarations import Refused

# Nothing was done with this app before. A clock that says so has lost its time.
EARLIEST = datetime(2020, 1, 1, tzinfo=UTC)
# Where such a clock begins anew.
CLOCKS_BEGIN = datetime(1970, 1, 1, tzinfo=UTC)
LATEST = datetime(2100, 1, 1, tzinfo=UTC)
SLACK = timedelta(minutes=10)


def by_now(claimed: datetime, now: datetime) -> datetime:
    """A claimed time as far as it can be true: nothing has happened after it was heard of."""
    return min(claimed, now)


@dataclass(frozen=True)
class Telling:
    """When a command was made by its device's clock, and when the server got it.

    What a clock that has lost its time says counts by how long before the command it was, and the
    command as made when it came.
    """

    made_at: datetime
    received_at: datetime

    @property
    def counted(self) -> datetime:
        return self.received_at if self.made_at < EARLIEST else self.made_at

    def reckoned(self, claimed: datetime) -> datetime:
        """A time that the command tells, as it counts."""
        if claimed >= EARLIEST:
            return claimed
        if self.made_at >= EARLIEST:
            return self.made_at
        moment = self.received_at - (self.made_at - claimed)
        return moment if moment >= EARLIEST else self.received_at


def strays(made_at: datetime, now: datetime, before: datetime | None) -> str | None:
    """What the owner should know of a clock: that it runs ahead, or that it was set back.

    `before` is when the device's command before this one was made.
    """
    if made_at > now + SLACK:
        return "clock_ahead"
    if made_at < EARLIEST or (before is not None and made_at < before - SLACK):
        return "clock_set_back"
    return None


def check_not_ahead(moment: datetime, made_at: datetime, field: str) -> None:
    """Raise Refused where something is told before it was done, by one and the same clock."""
    if moment > made_at + SLACK:
        raise Refused("date_too_late", "This time lies ahead.", "Check the time.", field=field)


def day_told(day: date, made_at: datetime, now: datetime, field: str) -> date:
    """A day on which something was so, as it counts: a clock that is ahead puts it off no further
    than to the day on which it was heard of. Raises Refused where it lies ahead by that clock too:
    then somebody mistyped it. A day's grace for zones."""
    if day > _grace(max(made_at, now)):
        raise Refused("date_too_late", "This date lies ahead.", "Check the date.", field=field)
    return day if day <= _grace(now) else now.date()


def _grace(moment: datetime) -> date:
    return (moment + timedelta(days=1)).date()
