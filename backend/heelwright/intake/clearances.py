"""Which clearances hold, and what they leave of the limits. No Django.

The twin is `domain/clearances.ts`.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any

from heelwright.rulebook.limits import MergedLimits, merge


@dataclass(frozen=True)
class ClearanceFact:
    """`limits` as in the arguments of `record_clearance`."""

    given_on: date
    expires_on: date
    covers: frozenset[str]
    withdrawn_at: datetime | None
    limits: Mapping[Any, Any] | None = None


def in_force(clearances: Iterable[ClearanceFact], at: datetime, day: date) -> list[ClearanceFact]:
    """Those that hold at a moment; `day` is its date in the practice's zone."""
    return [
        c
        for c in clearances
        if c.given_on <= day <= c.expires_on and (c.withdrawn_at is None or c.withdrawn_at > at)
    ]


def covered(clearances: Iterable[ClearanceFact], at: datetime, day: date) -> set[str]:
    """The rules covered by those in force."""
    return _rules_of(in_force(clearances, at, day))


def covered_since(clearances: Iterable[ClearanceFact], at: datetime, day: date) -> set[str]:
    """The rules covered by clearances that held at a moment, or hold after it."""
    lasting = (
        c
        for c in clearances
        if c.expires_on >= day and (c.withdrawn_at is None or c.withdrawn_at > at)
    )
    return _rules_of(lasting)


def _rules_of(clearances: Iterable[ClearanceFact]) -> set[str]:
    return {rule for clearance in clearances for rule in clearance.covers}


def narrowed(limits: Mapping[str, Any], clearances: Iterable[ClearanceFact]) -> dict[str, Any]:
    """Merged limits of a judgement in their wire form, and those of the clearances in force: the
    strictest of each, so that a clearance never loosens one."""
    given = [MergedLimits(**c.limits) for c in clearances if c.limits]
    return asdict(merge([MergedLimits(**limits), *given]))
