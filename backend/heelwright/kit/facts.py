"""Reads what is on record of sets and cycles, in the form that the rules judge."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, cast
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
    found: list[UUID] = []
    seen: set[UUID] = set()
    ahead = {UUID(pack) for pack in packs}
    while ahead:
        seen |= ahead
        after = models.Step.objects.filter(follows__before__in=ahead, thing=thing)
        rows = [row for row in after.distinct() if row.pk not in seen]
        found += [row.pk for row in rows if row.what == "use"]
        ahead = {row.pk for row in rows if row.what != FRESH_START}
    return sorted(set(found))


def _back_from(ends: QuerySet[models.Step], sets: Collection[UUID]) -> dict[UUID, dict[str, Step]]:
    """{set: these steps of it and those before each, back to the washing}."""
    found: dict[UUID, dict[str, Step]] = {}
    ahead = list(ends.prefetch_related("follows"))
    while ahead:
        before: set[UUID] = set()
        for row in ahead:
            found.setdefault(row.thing_id, {})[str(row.pk)] = as_step(row)
            if row.what != FRESH_START:
                before |= {link.before for link in row.follows.all()}
        new = before - {UUID(step) for steps in found.values() for step in steps}
        rows = models.Step.objects.filter(pk__in=new, thing__in=sets)
        ahead = list(rows.prefetch_related("follows"))
    return found


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
