"""The visits that a repeat makes: a subset of the rules of RFC 5545. The twin is
`pwa/src/domain/schedule/repeats.ts`, which makes them first, without a signal.

A rule repeats days (VALUE=DATE); the time stays that of the clock on the wall, in summer and in
winter. One that the clock skips is an hour later, one that comes twice is the first of the two
(RFC 5545, 3.3.5). Days that are left out (EXDATE) count among those of COUNT.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from itertools import islice
from uuid import UUID, uuid5
from zoneinfo import ZoneInfo

from dateutil.rrule import rrulestr

MOST_TIMES = 60
_DAYS = "(MO|TU|WE|TH|FR|SA|SU)"
_WEEKLY = f"FREQ=WEEKLY;INTERVAL=[1-9][0-9]?;BYDAY={_DAYS}(,{_DAYS})*"
_NTH = f"([1-4]|-1){_DAYS}"
_MONTHLY = f"FREQ=MONTHLY;INTERVAL=[1-9][0-9]?;BYDAY={_NTH}(,{_NTH})*"
RULE = f"^({_WEEKLY}|{_MONTHLY});(COUNT=[1-9][0-9]?|UNTIL=[0-9]{{8}})$"


class BadRule(Exception):
    """`code` is no_rule, too_many or not_first: the first day is not one of the rule's."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class Occurrence:
    booking: UUID
    day: date
    starts_at: datetime


def days_of(rule: str, first: date) -> list[date]:
    """Raises BadRule."""
    if not re.fullmatch(RULE, rule):
        raise BadRule("no_rule")
    try:
        repeat = rrulestr(rule, dtstart=datetime.combine(first, time()))
    except ValueError:  # A last day that is in no calendar.
        raise BadRule("no_rule") from None
    days = [at.date() for at in islice(repeat, MOST_TIMES + 1)]
    if len(days) > MOST_TIMES:
        raise BadRule("too_many")
    if days[:1] != [first]:
        raise BadRule("not_first")
    return days


def occurrences(
    series: UUID, days: Collection[date], left_out: Collection[date], clock: time, zone: ZoneInfo
) -> list[Occurrence]:
    """Each visit has an id of its own that follows from the series and the day."""
    return [
        Occurrence(
            uuid5(series, day.isoformat()),
            day,
            datetime.combine(day, clock, zone).astimezone(UTC),
        )
        for day in days
        if day not in left_out
    ]
