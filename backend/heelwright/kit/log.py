"""The log that an inspector asks for: what was cleaned, how and by whom, over a span of days. It
names no client."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import log
from heelwright.declarations import Days, Log, Refused, Role
from heelwright.intake.may_read import day_of, minute_of
from heelwright.kit.facts import as_load, checks_of
from heelwright.kit.log_words import (
    FOUND,
    INDICATORS,
    OCCASIONS,
    OUTCOMES,
    STEPS,
    number,
    reasons,
)
from heelwright.kit.models import Checklist, Load, LoadEnd, MachineCheck, Solution, Step, Thing
from heelwright.kit.rules.loads import outcome, told_late
from heelwright.people.books import book_of
from heelwright.tenancy.models import Device, Practice

COLUMNS = ["Day", "Time", "What", "Of", "How", "Result", "By", "Note"]


@dataclass(frozen=True)
class Line:
    at: datetime
    what: str
    of: str
    how: str
    result: str
    by: str
    note: str


@dataclass(frozen=True)
class Span:
    """A practice from one moment up to another, and the words of its book."""

    practice: Practice
    first: datetime
    last: datetime
    words: dict[str, str]

    def within(self, field: str) -> dict[str, Any]:
        return {
            "practice": self.practice,
            f"{field}__gte": self.first,
            f"{field}__lt": self.last,
        }


def kit_log(reader: Device, days: Days) -> dict[str, Any]:
    """Every line in the order of time, in the practice's zone; raises Refused for a role that sees
    nothing of the kit."""
    practice = reader.practice
    if not may_see("kit_thing", Role(reader.staff.role)):
        raise Refused("not_found", "There is no such log.", "Check the address.", "name")
    zone, now = ZoneInfo(practice.zone), clock.now()
    span = Span(
        practice,
        datetime.combine(days.first, time(), zone),
        datetime.combine(days.last + timedelta(days=1), time(), zone),
        book_of(practice).content.words["en"],
    )
    lines = sorted(_lines(span), key=lambda line: (line.at, line.what, line.of))
    written = now.astimezone(zone)
    return {
        "written_at": now.isoformat(),
        "written_on": minute_of(written),
        "practice": practice.name,
        "invented": practice.invented,
        "span": f"{day_of(days.first)} to {day_of(days.last)}",
        "columns": COLUMNS,
        "rows": [_row(line, zone) for line in lines],
    }


def _row(line: Line, zone: ZoneInfo) -> list[str]:
    at = line.at.astimezone(zone)
    told = [line.what, line.of, line.how, line.result, line.by, line.note]
    return [f"{at:%Y-%m-%d}", f"{at:%H:%M}", *told]


def _lines(span: Span) -> Iterator[Line]:
    yield from _steps(span)
    yield from _cycles(span)
    yield from _solutions(span)
    yield from _checks(span)
    yield from _checklists(span)


def _named(thing: Thing | None) -> str:
    return f"{thing.card['name']} ({thing.label})" if thing else "not known"


def _steps(span: Span) -> Iterator[Line]:
    steps = Step.objects.filter(**span.within("at")).exclude(what="cycle")
    for step in steps.select_related("thing", "staff"):
        what = STEPS.get(step.what, step.what)
        yield Line(step.at, what, _named(step.thing), "", "", step.staff.name, step.note)


def _cycles(span: Span) -> Iterator[Line]:
    loads = Load.objects.filter(**span.within("started_at"))
    loads = loads.select_related("machine", "product", "solution", "staff")
    loads = loads.prefetch_related("ends__staff", "steps__thing")
    checks = checks_of({load.machine_id for load in loads if load.machine_id})
    for load in loads:
        ended = outcome(as_load(load, checks))
        result = OUTCOMES[ended.state]
        if ended.reasons:
            result = f"{result}: {reasons(ended.reasons)}"
        sets = sorted(_named(step.thing) for step in load.steps.all())
        ends = [_end(end, heated=bool(load.process)) for end in load.ends.all()]
        how = "; ".join([_by_what(load, span), *_told(load, span), *ends])
        yield Line(
            load.started_at, "Cycle", ", ".join(sets), how, result, load.staff.name, load.note
        )


def _by_what(load: Load, span: Span) -> str:
    if load.process:
        process = span.words.get(f"process.{load.process}", load.process)
        return f"{_named(load.machine)}: {process.rstrip('.')}"
    mixed = f", mixed to {number(load.solution.target_ppm)} ppm" if load.solution else ""
    asked = load.asked["minutes"] if load.asked else None
    least = f", {number(asked)} minutes or more" if asked is not None else ""
    return f"{_named(load.product)}{mixed}{least}"


def _told(load: Load, span: Span) -> Iterator[str]:
    if load.told_at is not None and told_late(load.started_at, load.told_at):
        told_at = load.told_at.astimezone(ZoneInfo(span.practice.zone))
        yield f"told at {told_at:%Y-%m-%d %H:%M}"


def _end(end: LoadEnd, *, heated: bool) -> str:
    told = [f"ended after {number(round(end.ran_minutes, 1))} minutes"]
    if end.held_minutes is not None:
        told.append(f"held {number(end.held_minutes)} minutes")
    if end.celsius is not None:
        told.append(f"{number(end.celsius)} °C")
    if heated:
        told.append(INDICATORS.get(end.indicator, end.indicator))
    return f"{', '.join(told)} ({end.staff.name})"


def _solutions(span: Span) -> Iterator[Line]:
    zone = ZoneInfo(span.practice.zone)
    for one in Solution.objects.filter(**span.within("mixed_at")).select_related(
        "product", "staff"
    ):
        until = one.keeps_until.astimezone(zone)
        how = (
            f"{number(one.volume_ml)} ml of {number(one.target_ppm)} ppm from"
            f" {number(one.stock_percent)} %, keeps until {until:%Y-%m-%d %H:%M}"
        )
        mixed = "Disinfectant mixed"
        yield Line(one.mixed_at, mixed, _named(one.product), how, "", one.staff.name, one.note)
    for one in Solution.objects.filter(**span.within("thrown_away_at")).select_related("product"):
        if one.thrown_away_at is not None:
            thrown = "Disinfectant thrown away"
            yield Line(one.thrown_away_at, thrown, _named(one.product), "", "", "", "")


def _checks(span: Span) -> Iterator[Line]:
    zone = ZoneInfo(span.practice.zone)
    for one in MachineCheck.objects.filter(**span.within("tested_at")).select_related(
        "machine", "staff"
    ):
        what = span.words.get(f"machine_check.{one.kind}", one.kind)
        how = f"read {one.read_at.astimezone(zone):%Y-%m-%d %H:%M}"
        result = "Passed" if one.passed else "Failed"
        yield Line(one.tested_at, what, _named(one.machine), how, result, one.staff.name, one.note)


def _checklists(span: Span) -> Iterator[Line]:
    for one in Checklist.objects.filter(**span.within("signed_at")).select_related("staff"):
        items = (
            f"{span.words.get(f'checklist_item.{item}', item)} {FOUND.get(found, found)}"
            for item, found in one.items.items()
        )
        missed = [item for item, found in one.items.items() if found == "not_done"]
        result = f"{len(missed)} not done" if missed else "All done"
        what = f"Checklist: {OCCASIONS.get(one.occasion, one.occasion)}"
        yield Line(one.signed_at, what, "", " · ".join(items), result, one.staff.name, one.note)


log(Log("kit_log", Path(__file__).parent / "log.typ", kit_log))
