"""Pure decisions about a mishap: whether it is closed, and when to ask after the client. No
Django."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Protocol


class Later(Protocol):
    """What was added. `number` is the order in which it reached the server."""

    number: int
    added_at: datetime
    follow_up_on: date | None
    outcome: str
    closes: bool


def is_closed(entries: Iterable[Later]) -> bool:
    """Whether the closing is the last that came. Whatever comes after it, the owner has not read,
    whenever it was written."""
    last = max(entries, key=lambda one: one.number, default=None)
    return last is not None and last.closes


def follow_up(first: date | None, entries: Iterable[Later]) -> date | None:
    """The day to ask after the client, as it was last set; None where there is none any more.

    An outcome ends it. Of what two people wrote without signal, the later one counts.
    """
    day = first
    for entry in sorted(entries, key=lambda one: (one.added_at, one.number)):
        if entry.follow_up_on is not None or entry.outcome:
            day = entry.follow_up_on
    return day
