"""Who is visited on which day at what time: a technician has one visit at once, on weekdays."""

from collections import Counter
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from heelwright.settings.demonstration.scenario import Client

MINUTES = 45
STARTS = tuple(
    time.fromisoformat(start) for start in "08:45 09:45 10:45 11:45 13:15 14:15 15:15 16:15".split()
)
SATURDAY = 5


def past_days(client: Client, weeks: int, today: date) -> list[date]:
    """The days on which a client was due over the year, oldest first, all before today."""
    due = today + timedelta(days=client.booked_in or -(client.overdue_by or 0))
    earliest = today - timedelta(weeks=client.since_weeks)
    days = []
    day = due - timedelta(weeks=weeks)
    while day >= earliest:
        if day < today:
            days.append(day)
        day -= timedelta(weeks=weeks)
    return days[::-1]


class Diary:
    """Gives out the free times of each technician."""

    def __init__(self, zone: str, today: date) -> None:
        self._zone = ZoneInfo(zone)
        self._today = today
        self._taken: Counter[tuple[str, date]] = Counter()

    def at(self, day: date, hour: time) -> datetime:
        return datetime.combine(day, hour, self._zone).astimezone(UTC)

    def take(self, technician: str, day: date) -> datetime:
        """The next free start on a day. A past or future day at a weekend, or a full one, moves
        away from today; today itself stays today."""
        step = timedelta(days=1 if day > self._today else -1)
        while day != self._today and not self._open(technician, day):
            day += step
        start = STARTS[self._taken[technician, day]]
        self._taken[technician, day] += 1
        return self.at(day, start)

    def _open(self, technician: str, day: date) -> bool:
        return day.weekday() < SATURDAY and self._taken[technician, day] < len(STARTS)
