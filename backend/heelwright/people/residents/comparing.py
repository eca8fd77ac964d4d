"""Whom of a list the facility has already, and whom it does not name. No Django.

Somebody is known by name and date of birth together. Who has one of the two in common with a
resident, and the room with it where it is the name that differs, may be the same person, mistyped:
that a person says.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from heelwright.people.residents.lines import Resident
from heelwright.people.rules import name_keys


@dataclass(frozen=True)
class There:
    """A resident of the facility as their card stands."""

    client: UUID
    card: Mapping[str, Any]
    away: bool


@dataclass(frozen=True)
class Match:
    """`changes` are the fields of the card that the line says otherwise; a cell that is empty says
    nothing."""

    resident: Resident
    client: UUID
    changes: Mapping[str, Any]
    away: bool


@dataclass
class Compared:
    new: list[Resident] = field(default_factory=list)
    changed: list[Match] = field(default_factory=list)
    same: list[Match] = field(default_factory=list)
    unsure: list[Match] = field(default_factory=list)
    missing: list[UUID] = field(default_factory=list)


def compare(read: Sequence[Resident], there: Sequence[There]) -> Compared:
    found = Compared()
    known = _by_key(there)
    met: set[UUID] = set()
    left: list[Resident] = []
    for one in read:
        same = {t.client: t for key in _keys(one.card) for t in known.get(key, ())}
        free = [t for t in same.values() if t.client not in met]
        if not free:
            left.append(one)
            continue
        met.add(free[0].client)
        match = _match(one, free[0])
        (found.changed if match.changes else found.same).append(match)
    alike = _by_half([t for t in there if t.client not in met])
    for one in left:
        like = [t for key in _halves(one.card) for t in alike.get(key, ()) if t.client not in met]
        if like:
            met.add(like[0].client)
            found.unsure.append(_match(one, like[0]))
        else:
            found.new.append(one)
    found.missing = [t.client for t in there if t.client not in met and not t.away]
    return found


def _keys(card: Mapping[str, Any]) -> Iterable[tuple[str, str]]:
    return ((key, card["born"]) for key in name_keys(card["name"]))


def _by_key(there: Iterable[There]) -> dict[tuple[str, str], list[There]]:
    known: dict[tuple[str, str], list[There]] = {}
    for one in there:
        for key in _keys(one.card):
            known.setdefault(key, []).append(one)
    return known


def _match(resident: Resident, there: There) -> Match:
    changes = {f: v for f, v in resident.card.items() if there.card[f] != v}
    if name_keys(resident.card["name"]) & name_keys(there.card["name"]):
        changes.pop("name", None)  # Written otherwise, and no other name.
    return Match(resident, there.client, changes, there.away)


def _by_half(there: Iterable[There]) -> dict[tuple[str, str], list[There]]:
    known: dict[tuple[str, str], list[There]] = {}
    for one in there:
        for key in _halves(one.card):
            known.setdefault(key, []).append(one)
    return known


def _halves(card: Mapping[str, Any]) -> Iterable[tuple[str, str]]:
    """What alone makes two of them likely to be one: the name, or room and date of birth."""
    yield from (("", key) for key in name_keys(card["name"]))
    if card.get("room"):
        yield card["room"].casefold(), card["born"]
