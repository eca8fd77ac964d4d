"""Visits that repeat, from the vectors that the phone runs as well, and random rules on both sides.

Check: the examples of RFC 5545, 3.8.5.3, as they are named there; for days and times `dateutil` and
the IANA zone database (London changes its clock at 01:00 UTC, New York at 02:00 of its own);
`icalendar` reads each rule as the standard has it; UUIDv5 by Python's `uuid`."""

import json
from datetime import date, datetime, time, timedelta
from pathlib import Path
from random import Random
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from dateutil.rrule import rrulestr
from icalendar.prop import vRecur

from heelwright.schedule.rules.repeats import MOST_TIMES, BadRule, days_of, occurrences
from tests.parity.node import built, node
from tests.parity.vectors import HERE, read
from tests.run_length import runs

SERIES = UUID("019a2b3c-4d5e-7f60-8a9b-0c1d2e3f4a5b")
CASES: Any = read("repeats.json")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_visits_of_a_repeat(case: dict[str, Any]) -> None:
    first = date.fromisoformat(case["first"])
    if case["days"] is None:
        with pytest.raises(BadRule, match="too_many"):
            days_of(case["rule"], first)
        return
    days = days_of(case["rule"], first)
    assert [day.isoformat() for day in days] == case["days"]
    left_out = [date.fromisoformat(day) for day in case["left_out"]]
    clock = time.fromisoformat(case["clock"])
    made = occurrences(SERIES, days, left_out, clock, ZoneInfo(case["zone"]))
    assert [[str(each.booking), f"{each.starts_at:%Y-%m-%dT%H:%M:%SZ}"] for each in made] == (
        case["visits"]
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_rule_is_one_of_the_standard(case: dict[str, Any]) -> None:
    read_back = vRecur.from_ical(case["rule"])
    assert sorted(read_back.to_ical().decode().split(";")) == sorted(case["rule"].split(";"))


def test_the_wall_clock_stays_over_both_changes() -> None:
    for case in CASES:
        zone = ZoneInfo(case["zone"])
        walls = {f"{datetime.fromisoformat(at).astimezone(zone):%H:%M}" for _, at in case["visits"]}
        if "skips" not in case["name"]:
            assert walls <= {case["clock"]}


@pytest.mark.parametrize(
    ("rule", "code"),
    [
        ("FREQ=DAILY;INTERVAL=1;COUNT=3", "no_rule"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=1TU;COUNT=3", "no_rule"),
        ("FREQ=MONTHLY;INTERVAL=1;BYDAY=TU;COUNT=3", "no_rule"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU", "no_rule"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;UNTIL=20271399", "no_rule"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;COUNT=3\n", "no_rule"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=WE;COUNT=3", "not_first"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;UNTIL=20260101", "not_first"),
        ("FREQ=WEEKLY;INTERVAL=1;BYDAY=TU;COUNT=61", "too_many"),
    ],
)
def test_what_is_no_rule_of_ours(rule: str, code: str) -> None:
    with pytest.raises(BadRule) as fault:
        days_of(rule, date(2027, 1, 5))
    assert fault.value.code == code


def _random_rule(rng: Random) -> tuple[str, date]:
    first = date(2026, 1, 1) + timedelta(days=rng.randrange(1500))
    names = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
    if rng.random() < 0.5:
        days = {first.weekday(), *rng.sample(range(7), rng.randrange(3))}
        freq, by = "WEEKLY", ",".join(names[day] for day in sorted(days))
    else:
        nth = -1 if first.day > 28 else (first.day - 1) // 7 + 1
        more = [f"{rng.choice([1, 2, 3, 4, -1])}{rng.choice(names)}"] * rng.randrange(2)
        freq, by = "MONTHLY", ",".join([f"{nth}{names[first.weekday()]}", *more])
    until = first + timedelta(days=rng.randrange(900))
    end = rng.choice([f"COUNT={rng.randrange(1, 61)}", f"UNTIL={until:%Y%m%d}"])
    return f"FREQ={freq};INTERVAL={rng.randrange(1, 14)};BYDAY={by};{end}", first


def test_random_rules_make_the_same_days_on_the_phone(tmp_path: Path) -> None:
    rng = Random("heelwright repeats")
    given = [_random_rule(rng) for _ in range(runs(300, 3_000))]
    asked, out = tmp_path / "rules.json", tmp_path / "days.json"
    asked.write_text(json.dumps([[rule, first.isoformat()] for rule, first in given]))
    node(HERE / "repeat_all.mjs", built("src/domain/schedule/repeats.ts", tmp_path), asked, out)
    theirs = json.loads(out.read_text())
    for (rule, first), days in zip(given, theirs, strict=True):
        all_days = list(rrulestr(rule, dtstart=datetime.combine(first, time())))
        few = len(all_days) <= MOST_TIMES
        assert days == ([f"{day:%Y-%m-%d}" for day in all_days] if few else None), (rule, first)
