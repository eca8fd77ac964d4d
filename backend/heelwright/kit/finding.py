"""Finding what a command names, in the practice of whoever sends it."""

from typing import TypeVar
from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.declarations import Refused
from heelwright.kit.models import Load, Solution, Thing

Row = TypeVar("Row", Thing, Load, Solution)


def known_thing(act: Act, id_: UUID | None, kind: str) -> Thing | None:
    """A thing of this kind; None where the server has none."""
    if id_ is None:
        return None
    return Thing.objects.filter(practice=act.practice, pk=id_, kind=kind).first()


def known_solution(act: Act, id_: UUID | None) -> Solution | None:
    if id_ is None:
        return None
    return Solution.objects.filter(practice=act.practice, pk=id_).first()


def thing_for(act: Act, id_: UUID, kind: str) -> Thing:
    return _found(known_thing(act, id_, kind), kind)


def load_for(act: Act, id_: UUID) -> Load:
    return _found(Load.objects.filter(practice=act.practice, pk=id_).first(), "load")


def solution_for(act: Act, id_: UUID) -> Solution:
    return _found(known_solution(act, id_), "solution")


def _found(row: Row | None, field: str) -> Row:
    if row is None:
        raise Refused(
            "not_found",
            "This was not found among the kit.",
            "Sync, then look for it again.",
            field=field,
        )
    return row
