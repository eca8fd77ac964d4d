"""What a calendar app is told of somebody's days: when, and nothing of whom.

Written by `icalendar` as RFC 5545 has it, with the name and the refresh interval of RFC 7986.
Times are in UTC, so that no two readers can differ about a zone.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from uuid import UUID, uuid5

from icalendar import Calendar, Event
from icalendar.enums import CLASS, TRANSP

NAME = "Visits"
MORE = "Open the app for more."
PRODID = "-//Heelwright//Visits//EN"
ASK_AGAIN_AFTER = timedelta(hours=1)
# SEQUENCE is an integer of 32 bits: in seconds from here it lasts until 2088.
COUNTED_FROM = datetime(2020, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Stop:
    """A visit. `round` is the round of which it is a stop; `stands` is false once it is cancelled.
    `revised_at` is when anything of it was last changed."""

    id: UUID
    round: UUID | None
    starts_at: datetime
    ends_at: datetime
    stands: bool
    revised_at: datetime


@dataclass(frozen=True)
class Off:
    """Days off, both ends included."""

    id: UUID
    first: date
    last: date
    revised_at: datetime


@dataclass(frozen=True)
class Entry:
    """Two datetimes, or, for whole days, two dates, of which the second is the day after."""

    uid: UUID
    summary: str
    start: datetime | date
    end: datetime | date
    revised_at: datetime


def entries(whose: UUID, stops: Iterable[Stop], days_off: Iterable[Off]) -> list[Entry]:
    """By their start: a visit each, one for all stops of a round, and days off."""
    rounds: dict[UUID, list[Stop]] = defaultdict(list)
    found = []
    for stop in stops:
        if stop.round is not None:
            rounds[stop.round].append(stop)
        elif stop.stands:
            times = (stop.starts_at, stop.ends_at)
            found.append(Entry(stop.id, "Visit", *times, stop.revised_at))
    for round_id, of_round in rounds.items():
        if any(stop.stands for stop in of_round):
            found.append(_round(uuid5(round_id, str(whose)), of_round))
    found.sort(key=lambda entry: (entry.start, entry.uid))
    return found + [
        Entry(off.id, "Off", off.first, off.last + timedelta(days=1), off.revised_at)
        for off in sorted(days_off, key=lambda off: (off.first, off.id))
    ]


def _round(uid: UUID, stops: list[Stop]) -> Entry:
    """From the first stop that stands to the end of the last. One that was cancelled changed it."""
    standing = [stop for stop in stops if stop.stands]
    number = f"{len(standing)} stop{'' if len(standing) == 1 else 's'}"
    return Entry(
        uid,
        f"Round ({number})",
        min(stop.starts_at for stop in standing),
        max(stop.ends_at for stop in standing),
        max(stop.revised_at for stop in stops),
    )


def written(uid: UUID, found: Iterable[Entry]) -> bytes:
    """As a body of `text/calendar`, in UTF-8: a calendar with this id."""
    calendar = Calendar.new(uid=uid, name=NAME, prodid=PRODID)
    # The library's own setter leaves the type out, which RFC 7986, 5.7, asks for.
    calendar.add("REFRESH-INTERVAL", ASK_AGAIN_AFTER, parameters={"VALUE": "DURATION"})
    for entry in found:
        calendar.add_component(_event(entry))
    body: bytes = calendar.to_ical()
    return body


def _event(entry: Entry) -> Event:
    """Without a method, DTSTAMP is when the entry was last revised (RFC 5545, 3.8.7.2)."""
    all_day = not isinstance(entry.start, datetime)
    seconds = int((entry.revised_at - COUNTED_FROM).total_seconds())
    return Event.new(
        uid=entry.uid,
        summary=entry.summary,
        description=MORE,
        start=_in_utc(entry.start),
        end=_in_utc(entry.end),
        stamp=_in_utc(entry.revised_at),
        last_modified=_in_utc(entry.revised_at),
        sequence=max(seconds, 0),
        classification=CLASS.PRIVATE,
        transparency=TRANSP.TRANSPARENT if all_day else TRANSP.OPAQUE,
    )


def _in_utc(moment: datetime | date) -> datetime | date:
    return moment.astimezone(UTC) if isinstance(moment, datetime) else moment
