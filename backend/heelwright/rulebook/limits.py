"""Joins the limits of several rules into the one set that binds a visit: the strictest of each.

Joining is order-free, and joining again changes nothing. The twin is limits.ts.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from heelwright.rulebook.schema import Limit


@dataclass(frozen=True)
class MergedLimits:
    """`None` means not limited."""

    bits_allowed: tuple[str, ...] | None = None
    top_speed_m_s: float | None = None
    max_rpm: Mapping[str, int] = field(default_factory=dict)
    no_bit_in_crack: bool = False
    no_blades: bool = False
    softener: Literal["allowed", "none"] = "allowed"
    softener_max_percent: float | None = None
    softener_min_minutes: float | None = None
    softener_max_minutes: float | None = None
    leave_alone: tuple[str, ...] = ()


def merge(limits: Iterable["Limit | MergedLimits"]) -> MergedLimits:
    held = list(limits)
    shortest = _largest(limit.softener_min_minutes for limit in held)
    longest = _smallest(limit.softener_max_minutes for limit in held)
    # Two limits that leave no time at all leave no softener.
    no_time = shortest is not None and longest is not None and shortest > longest
    forbidden = no_time or any(limit.softener == "none" for limit in held)
    return MergedLimits(
        bits_allowed=_common([limit.bits_allowed for limit in held]),
        top_speed_m_s=_smallest(limit.top_speed_m_s for limit in held),
        max_rpm=_lowest_rpm(limit.max_rpm for limit in held),
        no_bit_in_crack=any(limit.no_bit_in_crack for limit in held),
        no_blades=any(limit.no_blades for limit in held),
        softener="none" if forbidden else "allowed",
        softener_max_percent=_smallest(limit.softener_max_percent for limit in held),
        softener_min_minutes=shortest,
        softener_max_minutes=longest,
        leave_alone=tuple(sorted({area for limit in held for area in limit.leave_alone})),
    )


def _common(lists: Iterable[Collection[str] | None]) -> tuple[str, ...] | None:
    named = [set(families) for families in lists if families is not None]
    return tuple(sorted(set.intersection(*named))) if named else None


def _lowest_rpm(tables: Iterable[Mapping[str, int]]) -> dict[str, int]:
    lowest: dict[str, int] = {}
    for table in tables:
        for family, rpm in table.items():
            lowest[family] = min(rpm, lowest.get(family, rpm))
    return dict(sorted(lowest.items()))


def _smallest(values: Iterable[float | None]) -> float | None:
    return min((value for value in values if value is not None), default=None)


def _largest(values: Iterable[float | None]) -> float | None:
    return max((value for value in values if value is not None), default=None)
