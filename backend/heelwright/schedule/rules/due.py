"""When a client is to be visited next. The twin is `pwa/src/domain/schedule/due-visits.ts`.

The weeks are those that were said when the last visit was signed off, which the book proposes by
what was found. An eighth of them to either side is in time: common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

State = Literal["booked", "booked_late", "overdue", "due", "later", "open"]


@dataclass(frozen=True)
class Window:
    """The day on which a visit is due, and the first and the last that are in time for it."""

    first: date
    day: date
    last: date


def window(since: date, weeks: int, may_wait: bool) -> Window:
    """`since` is the day of the visit before. Who may wait has twice as long afterwards."""
    day = since + timedelta(weeks=weeks)
    slack = timedelta(days=weeks * 7 // 8)
    return Window(day - slack, day, day + slack * (2 if may_wait else 1))


def state_of(due: Window | None, booked: Sequence[date], today: date) -> State:
    """How it stands with a client's next visit. `booked` are the days from today on for which a
    visit is booked; without a window nobody has said when the next one is to be."""
    if booked:
        return "booked_late" if due is not None and min(booked) > due.last else "booked"
    if due is None:
        return "open"
    if today > due.last:
        return "overdue"
    return "due" if today >= due.first else "later"
