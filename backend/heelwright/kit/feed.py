"""What of the kit goes to devices: what is of the practice to whoever works in it, and what was
used on a client along with the client."""

from collections import Counter
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import F, QuerySet, Sum, Window
from django.db.models.functions import RowNumber
from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.kit.arguments import Asked, Card
from heelwright.kit.facts import tails_of
from heelwright.kit.models import (
    Checklist,
    Load,
    MachineCheck,
    Solution,
    StockChange,
    Thing,
    Use,
)

Rows = Iterable[tuple[UUID, BaseModel]]
# More than a phone has on its way at once.
MOST_COUNTED = 200


class StepRow(BaseModel):
    id: UUID
    what: str
    at: datetime
    staff: UUID
    after: list[UUID]
    load: UUID | None
    end: UUID | None


class ThingRow(BaseModel):
    """`steps` are a set's, from its last ones back to the washing before each; `left` is how many
    of a lot there are, None of anything else. `counted` are the last changes and uses in it, so
    that a phone takes none of its own off twice."""

    kind: str
    label: str
    card: Card
    steps: list[StepRow]
    left: int | None
    counted: list[UUID]


class EndRow(BaseModel):
    id: UUID
    ended_at: datetime
    ran_minutes: float
    held_minutes: float | None
    celsius: float | None
    indicator: str
    interrupted: bool
    staff: UUID
    note: str


class LoadRow(BaseModel):
    """`heard_at` is when the server heard of its start, by which another phone than `device`
    reckons how long it ran; `phone_at` is its start by the clock of `device`, by which that one
    does. `told_at` is when somebody told it."""

    process: str
    machine: UUID | None
    product: UUID | None
    solution: UUID | None
    asked: Asked | None
    faults: list[str]
    sets: list[UUID]
    started_at: datetime
    told_at: datetime | None
    phone_at: datetime | None
    heard_at: datetime | None
    device: UUID
    staff: UUID
    note: str
    ends: list[EndRow]


class SolutionRow(BaseModel):
    product: UUID
    stock_percent: float
    target_ppm: float
    volume_ml: float
    mixed_at: datetime
    keeps_until: datetime
    thrown_away_at: datetime | None
    staff: UUID
    note: str


class MachineCheckRow(BaseModel):
    machine: UUID
    kind: str
    tested_at: datetime
    read_at: datetime
    passed: bool
    reaches_back: bool
    staff: UUID
    note: str


class ChecklistRow(BaseModel):
    occasion: str
    items: dict[str, str]
    signed_at: datetime
    staff: UUID
    note: str


class UseRow(BaseModel):
    client: UUID
    visit: UUID
    thing: UUID
    step: UUID | None
    solution: UUID | None
    count: int
    used_at: datetime
    loads: list[UUID]
    flags: list[str]
    staff: UUID


def things(ids: Iterable[UUID]) -> Rows:
    rows = list(Thing.objects.filter(pk__in=ids))
    tails = tails_of({row.pk for row in rows if row.kind == "set"})
    lots = [row for row in rows if row.kind == "lot"]
    left, counted = left_of(lots), last_counted(lots)
    for row in rows:
        steps = sorted(tails.get(row.pk, {}).values(), key=lambda step: (step.at, step.id))
        yield (
            row.pk,
            ThingRow(
                kind=row.kind,
                label=row.label,
                card=dict(row.card),
                steps=[StepRow.model_validate(vars(step)) for step in steps],
                left=left.get(row.pk),
                counted=counted.get(row.pk, []),
            ),
        )


def left_of(lots: Iterable[Thing]) -> dict[UUID, int]:
    """How many of each lot are left, as told: fewer than none where some were never counted in."""
    lots = list(lots)
    left = Counter({lot.pk: lot.card["count"] for lot in lots})
    changes = StockChange.objects.filter(lot__in=left).order_by().values("lot")
    for change in changes.annotate(total=Sum("by")):
        left[change["lot"]] += change["total"]
    # A use names what it was of by an id, which may be that of another practice's lot.
    uses = Use.objects.filter(thing__in=left, practice__in={lot.practice_id for lot in lots})
    for use in uses.order_by().values("thing").annotate(n=Sum("count")):
        left[use["thing"]] -= use["n"]
    return left


def last_counted(lots: Iterable[Thing]) -> dict[UUID, list[UUID]]:
    """Of each lot the ids of its newest changes and uses, as they reached the server."""
    ids = {lot.pk: lot.practice_id for lot in lots}
    changes = _newest(StockChange.objects.filter(lot__in=ids), "lot_id")
    uses = _newest(Use.objects.filter(thing__in=ids, practice__in=ids.values()), "thing")
    found: dict[UUID, list[UUID]] = {}
    for lot, id_ in [*changes, *uses]:
        found.setdefault(lot, []).append(id_)
    return {lot: sorted(counted) for lot, counted in found.items()}


def _newest(rows: QuerySet[Any], lot: str) -> list[tuple[UUID, UUID]]:
    newest = Window(RowNumber(), partition_by=F(lot), order_by=("-received_at", "-pk"))
    return list(rows.annotate(place=newest).filter(place__lte=MOST_COUNTED).values_list(lot, "pk"))


def loads(ids: Iterable[UUID]) -> Rows:
    for row in Load.objects.filter(pk__in=ids).prefetch_related("ends", "steps"):
        yield (
            row.pk,
            LoadRow(
                process=row.process,
                machine=row.machine_id,
                product=row.product_id,
                solution=row.solution_id,
                asked=row.asked and Asked(**row.asked),
                faults=row.faults,
                sets=[step.thing_id for step in row.steps.all()],
                started_at=row.started_at,
                told_at=row.told_at,
                phone_at=row.phone_at,
                heard_at=row.received_at,
                device=row.device_id,
                staff=row.staff_id,
                note=row.note,
                ends=[
                    EndRow(
                        id=end.pk,
                        ended_at=end.ended_at,
                        ran_minutes=end.ran_minutes,
                        held_minutes=end.held_minutes,
                        celsius=end.celsius,
                        indicator=end.indicator,
                        interrupted=end.interrupted,
                        staff=end.staff_id,
                        note=end.note,
                    )
                    for end in row.ends.all()
                ],
            ),
        )


def solutions(ids: Iterable[UUID]) -> Rows:
    for row in Solution.objects.filter(pk__in=ids):
        yield (
            row.pk,
            SolutionRow(
                product=row.product_id,
                stock_percent=row.stock_percent,
                target_ppm=row.target_ppm,
                volume_ml=row.volume_ml,
                mixed_at=row.mixed_at,
                keeps_until=row.keeps_until,
                thrown_away_at=row.thrown_away_at,
                staff=row.staff_id,
                note=row.note,
            ),
        )


def machine_checks(ids: Iterable[UUID]) -> Rows:
    for row in MachineCheck.objects.filter(pk__in=ids):
        yield (
            row.pk,
            MachineCheckRow(
                machine=row.machine_id,
                kind=row.kind,
                tested_at=row.tested_at,
                read_at=row.read_at,
                passed=row.passed,
                reaches_back=row.reaches_back,
                staff=row.staff_id,
                note=row.note,
            ),
        )


def checklists(ids: Iterable[UUID]) -> Rows:
    for row in Checklist.objects.filter(pk__in=ids):
        yield (
            row.pk,
            ChecklistRow(
                occasion=row.occasion,
                items=row.items,
                signed_at=row.signed_at,
                staff=row.staff_id,
                note=row.note,
            ),
        )


def uses(ids: Iterable[UUID]) -> Rows:
    for row in Use.objects.filter(pk__in=ids).prefetch_related("loads"):
        yield (
            row.pk,
            UseRow(
                client=row.client_id,
                visit=row.visit_ref,
                thing=row.thing,
                step=row.step_id,
                solution=row.solution_id,
                count=row.count,
                used_at=row.used_at,
                loads=sorted(load.pk for load in row.loads.all()),
                flags=row.flags,
                staff=row.staff_id,
            ),
        )


def _practice(row: Any) -> UUID:
    of: UUID = row.practice_id
    return of


feed_kind(FeedKind("kit_thing", Thing, ThingRow, _practice, things))
feed_kind(FeedKind("kit_load", Load, LoadRow, _practice, loads))
feed_kind(FeedKind("kit_solution", Solution, SolutionRow, _practice, solutions))
feed_kind(FeedKind("machine_check", MachineCheck, MachineCheckRow, _practice, machine_checks))
feed_kind(FeedKind("checklist", Checklist, ChecklistRow, _practice, checklists))
feed_kind(FeedKind("kit_use", Use, UseRow, lambda row: row.client_id, uses))
follows_client(Use)
