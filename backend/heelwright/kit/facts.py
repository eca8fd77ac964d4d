"""Reads what is on record of sets and cycles, in the form that the rules judge."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, TypeVar, cast
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from heelwright.kit import models
from heelwright.kit.models import Follows, LoadEnd, MachineCheck, Thing
from heelwright.kit.rules.loads import Asked, End, Indicator, Level, Load
from heelwright.kit.rules.recalls import Check, pulled_back
from heelwright.kit.rules.standing import FRESH_START, LEVELS, Standing, Step, What, standing
from heelwright.people.books import book_of
from heelwright.rulebook import Book

Tails = Mapping[UUID, Mapping[str, Step]]
Row = TypeVar("Row", models.Step, Follows)

ROUNDS = 20


@dataclass(frozen=True)
class SetFacts:
    """What is known of one set: from its last steps back to the washing before each."""

    needs: Level
    steps: Mapping[str, Step]
    loads: Mapping[str, Load] = field(default_factory=dict)

    def standing(self, now: datetime) -> Standing:
        return standing(self.needs, self.steps, self.loads, now)


def facts_of(things: Iterable[Thing]) -> dict[UUID, SetFacts]:
    """Of each of these sets, in a number of queries that does not grow with them."""
    sets = {thing.pk: thing for thing in things}
    tails = tails_of(sets)
    named = {step.load for steps in tails.values() for step in steps.values() if step.load}
    loads = loads_by_id(UUID(load) for load in named)
    return {
        pk: SetFacts(needs_of(book_of(thing.practice), thing.card), tails.get(pk, {}), loads)
        for pk, thing in sets.items()
    }


def needs_of(book: Book, card: Mapping[str, Any]) -> Level:
    """The cycle that a set needs: that of its most exacting instrument; the strictest where the
    book does not know one. What is used once is thrown away, and asks for none."""
    known = {each.id: each.needs for each in book.content.instruments}
    needs = [known.get(each["kind"], LEVELS[-1]) for each in card["instruments"]]
    levels = [LEVELS.index(level) for level in needs if level != "single_use"]
    return LEVELS[max(levels, default=0)]


def tails_of(sets: Collection[UUID]) -> dict[UUID, dict[str, Step]]:
    """{set: its steps from the last ones back to the washing before each}: enough to judge it."""
    followed = Follows.objects.filter(before=OuterRef("pk"), step__thing=OuterRef("thing"))
    return _back_from(models.Step.objects.filter(~Exists(followed), thing__in=sets), sets)


def line_of(step: models.Step) -> dict[str, Step]:
    """A step with those before it, back to the washing."""
    found = _back_from(models.Step.objects.filter(pk=step.pk), [step.thing_id])
    return found[step.thing_id]


def whole_line_of(set_: UUID) -> dict[str, Step]:
    """All that was ever told of a set."""
    rows = models.Step.objects.filter(thing=set_).prefetch_related("follows")
    return {str(row.pk): as_step(row) for row in rows}


def uses_since(thing: UUID, packs: Iterable[str]) -> list[UUID]:
    """The uses that come after one of these packings with no washing between."""
    links = (
        Follows.objects.filter(step__thing=thing)
        .select_related("step")
        .only("before", "step__thing", "step__what")
    )
    following = _by_rounds(
        lambda ids: links.filter(before__in=ids), lambda _: links, lambda link: link.before
    )
    found: set[UUID] = set()
    seen: set[UUID] = set()
    ahead = {UUID(pack) for pack in packs}
    while ahead:
        seen |= ahead
        steps = [link.step for link in following(ahead)]
        found |= {step.pk for step in steps if step.what == "use"}
        ahead = {step.pk for step in steps if step.what != FRESH_START} - seen
    return sorted(found)


def _back_from(ends: QuerySet[models.Step], sets: Collection[UUID]) -> dict[UUID, dict[str, Step]]:
    """{set: these steps of it and those before each, back to the washing}."""
    steps = models.Step.objects.filter(thing__in=sets).prefetch_related("follows")
    of_these = models.Step.objects.values("thing")
    read = _by_rounds(
        lambda ids: steps.filter(pk__in=ids),
        lambda ids: steps.filter(thing__in=of_these.filter(pk__in=ids)),
        lambda step: step.pk,
    )
    found: dict[UUID, dict[str, Step]] = {}
    seen: set[UUID] = set()
    ahead = list(ends.prefetch_related("follows"))
    while ahead:
        before: set[UUID] = set()
        for row in ahead:
            seen.add(row.pk)
            found.setdefault(row.thing_id, {})[str(row.pk)] = as_step(row)
            if row.what != FRESH_START:
                before |= {link.before for link in row.follows.all()}
        ahead = read(before - seen)
    return found


def _by_rounds(
    some: Callable[[set[UUID]], Iterable[Row]],
    all_: Callable[[set[UUID]], Iterable[Row]],
    named: Callable[[Row], UUID],
) -> Callable[[set[UUID]], list[Row]]:
    """Reads along a line of steps, some each time. One that is longer than any that comes of work
    is read at once: it would else ask the database once for each of its steps."""
    rounds = 0
    known: dict[UUID, list[Row]] = {}

    def read(ids: set[UUID]) -> list[Row]:
        nonlocal rounds
        rounds += 1
        if rounds < ROUNDS or not ids:
            return list(some(ids)) if ids else []
        if rounds == ROUNDS:
            for row in all_(ids):
                known.setdefault(named(row), []).append(row)
        return [row for id_ in ids for row in known.get(id_, ())]

    return read


def as_step(row: models.Step) -> Step:
    return Step(
        id=str(row.pk),
        what=cast(What, row.what),
        at=row.at,
        staff=str(row.staff_id),
        after=tuple(sorted(str(link.before) for link in row.follows.all())),
        load=str(row.load_id) if row.load_id else None,
        end=str(row.end) if row.end else None,
    )


def loads_by_id(ids: Iterable[UUID]) -> dict[str, Load]:
    rows = models.Load.objects.filter(pk__in=set(ids)).prefetch_related("ends")
    checks = checks_of({row.machine_id for row in rows if row.machine_id})
    return {str(row.pk): as_load(row, checks) for row in rows}


def checks_of(machines: Collection[UUID]) -> dict[UUID, list[Check]]:
    found: dict[UUID, list[Check]] = {}
    for row in MachineCheck.objects.filter(machine__in=machines):
        found.setdefault(row.machine_id, []).append(as_check(row))
    return found


def as_check(row: MachineCheck) -> Check:
    return Check(row.kind, row.tested_at, row.passed, row.reaches_back)


def as_load(row: models.Load, checks: Mapping[UUID, Collection[Check]]) -> Load:
    of_machine = checks.get(row.machine_id, ()) if row.machine_id else ()
    return Load(
        asked=Asked(**row.asked) if row.asked else None,
        faults=tuple(row.faults),
        ends=tuple(map(as_end, row.ends.all())),
        pulled_back=pulled_back(row.started_at, of_machine),
    )


def as_end(row: LoadEnd) -> End:
    return End(
        id=str(row.pk),
        ran_minutes=row.ran_minutes,
        held_minutes=row.held_minutes,
        celsius=row.celsius,
        indicator=cast(Indicator, row.indicator),
        interrupted=row.interrupted,
    )
