"""What a calendar app reads is what stands in the diary, and no more.

Check: ical.js, an independent reader; wall times by its engine's table of zones beside Python's, in
London (changes its clock at 01:00 UTC) and New York (at 02:00 of its own); RFC 5545, 3.1 (lines),
3.6 and 3.6.1 (what must be there), 3.8.2.2 (a last day is not included); RFC 7986, 5.7.
"""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from heelwright.schedule.rules.calendar import Entry, Off, Stop, entries, written
from tests.run_length import runs
from tests.schedule.calendars import read_by_another

ZONES = ("Europe/London", "America/New_York")
WHOSE = UUID("019a2b3c-4d5e-7f60-8a9b-0c1d2e3f4a5b")
CHANGES = [
    datetime(2027, month, day, hour, tzinfo=UTC)
    for month, day, hour in ((3, 28, 1), (10, 31, 1), (3, 14, 7), (11, 7, 6))
]
ROUNDS = [None, None, *(UUID(int=n) for n in range(3))]


def _id(rng: Random) -> UUID:
    return UUID(int=rng.getrandbits(128), version=4)


def _random_days(rng: Random) -> list[Entry]:
    """Mostly around a change of the clock."""
    about = rng.choice(CHANGES)
    stops = []
    for _ in range(rng.randrange(6)):
        start = about + timedelta(minutes=rng.randrange(-2000, 2000))
        end = start + timedelta(minutes=rng.randrange(5, 480))
        revised = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(seconds=rng.randrange(10**8))
        stand = rng.random() < 0.8
        stops.append(Stop(_id(rng), rng.choice(ROUNDS), start, end, stand, revised))
    first = about.date() + timedelta(days=rng.randrange(-3, 3))
    off = Off(_id(rng), first, first + timedelta(days=rng.randrange(3)), about)
    return entries(WHOSE, stops, [off] if rng.random() < 0.5 else [])


def _expected(moment: datetime | date) -> Any:
    if not isinstance(moment, datetime):
        return moment.isoformat()
    walls = [f"{moment.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M:%S}" for zone in ZONES]
    return [f"{moment.astimezone(UTC):%Y-%m-%dT%H:%M:%S.000Z}", *walls]


def test_another_reader_reads_the_same_instants(tmp_path: Path) -> None:
    rng = Random("heelwright calendars")
    days = [_random_days(rng) for _ in range(runs(300, 3_000))]
    read = read_by_another([written(WHOSE, found) for found in days], tmp_path, *ZONES)
    assert sum(map(len, days)) > len(days)
    for found, calendar in zip(days, read, strict=True):
        assert (calendar["name"], calendar["version"], calendar["others"]) == ("Visits", "2.0", 0)
        assert calendar["again"] == ["duration", 3600]
        for entry, theirs in zip(found, calendar["entries"], strict=True):
            assert theirs["uid"] == str(entry.uid)
            assert theirs["summary"] == entry.summary
            assert (theirs["start"], theirs["end"]) == tuple(
                map(_expected, (entry.start, entry.end))
            )
            assert theirs["stamp"] == _expected(entry.revised_at)[0]
            assert theirs["class"] == "PRIVATE"
            assert theirs["description"] == "Open the app for more."
            assert 0 <= theirs["sequence"] < 2**31


def test_lines_are_as_the_standard_has_them() -> None:
    rng = Random("heelwright lines")
    for _ in range(50):
        text = written(WHOSE, _random_days(rng))
        lines = text.split(b"\r\n")
        assert lines.pop() == b""
        assert all(len(line) <= 75 and b"\n" not in line and b"\r" not in line for line in lines)
        assert text.startswith(b"BEGIN:VCALENDAR\r\n")


BEGIN = datetime(2026, 1, 1, tzinfo=UTC)
moments = st.integers(0, 2 * 365 * 24 * 60).map(lambda minutes: BEGIN + timedelta(minutes=minutes))
stops = st.builds(
    lambda id_, of, start, minutes, stands, revised: Stop(
        id_, of, start, start + timedelta(minutes=minutes), stands, revised
    ),
    st.uuids(),
    st.sampled_from(ROUNDS),
    moments,
    st.integers(5, 480),
    st.booleans(),
    moments,
)
days_off = st.builds(
    lambda id_, first, days, revised: Off(id_, first, first + timedelta(days=days), revised),
    st.uuids(),
    st.dates(date(2026, 1, 1), date(2028, 1, 1)),
    st.integers(0, 60),
    moments,
)


@given(st.lists(stops, unique_by=lambda stop: stop.id), st.lists(days_off, max_size=3))
def test_each_visit_that_stands_is_there_once(given_stops: list[Stop], off: list[Off]) -> None:
    found = entries(WHOSE, given_stops, off)
    assert len({entry.uid for entry in found}) == len(found)
    standing = [stop for stop in given_stops if stop.stands]
    alone = {stop.id: stop for stop in standing if stop.round is None}
    rounds = {stop.round for stop in standing if stop.round is not None}
    assert {entry.uid for entry in found if entry.summary == "Visit"} == set(alone)
    said = sorted(entry.summary for entry in found if entry.summary.startswith("Round"))
    counts = [sum(stop.round == of for stop in standing) for of in rounds]
    assert said == sorted(f"Round ({n} stop{'s' * (n > 1)})" for n in counts)
    for stop in standing:
        assert any(
            e.start <= stop.starts_at and stop.ends_at <= e.end for e in found[: -len(off) or None]
        )
    assert {e.uid: (e.start, e.end) for e in found if e.summary == "Off"} == {
        one.id: (one.first, one.last + timedelta(days=1)) for one in off
    }


@given(st.lists(stops, unique_by=lambda stop: stop.id), st.lists(days_off), st.randoms())
def test_the_order_of_the_rows_changes_nothing(
    given_stops: list[Stop], off: list[Off], rng: Random
) -> None:
    """So that what has not changed has the same ETag."""
    before = written(WHOSE, entries(WHOSE, given_stops, off))
    rng.shuffle(given_stops)
    rng.shuffle(off)
    assert written(WHOSE, entries(WHOSE, given_stops, off)) == before


def test_a_stop_that_was_called_off_revises_its_round() -> None:
    begin, of = datetime(2027, 3, 1, 9, tzinfo=UTC), UUID(int=1)
    first = Stop(UUID(int=2), of, begin, begin + timedelta(minutes=20), True, begin)
    later = begin + timedelta(days=1)
    gone = Stop(UUID(int=3), of, begin, begin + timedelta(hours=8), False, later)
    (entry,) = entries(WHOSE, [first, gone], [])
    assert (entry.revised_at, entry.end) == (later, first.ends_at)
