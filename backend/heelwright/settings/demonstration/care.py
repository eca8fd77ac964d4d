"""What the feet look like at a visit, and what is done to them, inside the limits of the day."""

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from heelwright.rulebook import Book, MergedLimits
from heelwright.settings.demonstration.scenario import Crack, Event, Kind, Practice

HEALED_OVER_A_YEAR = 0.6
TOO_FAST_BY = 4000
TOO_LONG_MINUTES = 7.5

Seen = Sequence[Mapping[str, Any]]


def findings(
    kind: Kind, event: Event | None, marks: Sequence[str], progress: float, chance: random.Random
) -> list[dict[str, Any]]:
    """What is drawn on the foot map. A crack keeps its mark all year and heals with `progress`."""
    drawn = [_measured(crack, progress, chance) for crack in kind.cracks]
    spots = [*kind.findings, *([event.finding] if event and event.finding else [])]
    drawn += [spot.model_dump() for spot in spots]
    blank = {"length_mm": None, "depth_mm": None, "state": None, "bleeding": None, "oozing": None}
    return [
        {"id": mark, "note": "", **blank, **seen} for mark, seen in zip(marks, drawn, strict=False)
    ]


def _measured(crack: Crack, progress: float, chance: random.Random) -> dict[str, Any]:
    left = (1 - HEALED_OVER_A_YEAR * progress) * chance.uniform(0.94, 1.0)
    return {
        "what": "crack",
        "foot": crack.foot,
        "view": "sole",
        "region": crack.region,
        "length_mm": round(crack.length_mm * left, 1),
        "depth_mm": round(crack.depth_mm * left, 1),
        "state": "closed",
        "bleeding": False,
        "oozing": False,
    }


@dataclass(frozen=True)
class Care:
    """`event` may be a slip past a limit; without one everything stays inside."""

    book: Book
    practice: Practice
    kind: Kind
    limits: MergedLimits
    event: Event | None

    def record(self, seen: Seen, started: datetime, chance: random.Random) -> dict[str, Any]:
        return {
            "bits": self._bits(),
            "softeners": self._softeners(started + timedelta(minutes=2)),
            "cracks": [self._smoothed(spot) for spot in seen if spot["what"] == "crack"],
            "stop_signs": ["pink"] if chance.random() < 0.08 else [],
            "left_alone": list(self.limits.leave_alone),
            "work_done": self.kind.work,
            "note": chance.choice(self.practice.remarks) if chance.random() < 0.4 else "",
            "weeks_until_next": self.kind.weeks,
        }

    def _slipped(self, what: str) -> bool:
        return self.event is not None and self.event.what == what

    def _bits(self) -> list[dict[str, Any]]:
        usual = {bit.id: bit.usual_rpm for bit in self.book.content.bits}
        hurry = TOO_FAST_BY if self._slipped("too_fast") else 0
        used = []
        for bit in self.practice.kit:
            allowed = self.limits.bits_allowed
            if allowed is None or bit.family in allowed:
                most = self.limits.max_rpm.get(bit.family, usual[bit.family])
                rpm = min(usual[bit.family], most) + hurry
                used.append({**bit.model_dump(), "rpm": rpm, "places": self.kind.places})
        return used

    def _softeners(self, placed: datetime) -> list[dict[str, Any]]:
        """The strongest that the limits allow, for as long as they ask."""
        strongest = self.limits.softener_max_percent
        mild = [
            s for s in self.practice.softeners if strongest is None or s.urea_percent <= strongest
        ]
        if self.limits.softener == "none" or not mild:
            return []
        usual = self.limits.softener_min_minutes or self.book.content.settings.urea_minutes_min
        minutes = TOO_LONG_MINUTES if self._slipped("softener_too_long") else usual
        return [
            {
                **max(mild, key=lambda softener: softener.urea_percent).model_dump(),
                "placed_at": placed,
                "removed_at": placed + timedelta(minutes=minutes),
                "places": self.kind.places,
            }
        ]

    def _smoothed(self, spot: Mapping[str, Any]) -> dict[str, Any]:
        """The edges are smoothed; the depth is left where the limits say so."""
        length, depth = spot["length_mm"], spot["depth_mm"]
        left = "crack_depth" in self.limits.leave_alone
        return {
            "finding": spot["id"],
            "foot": spot["foot"],
            "region": spot["region"],
            "length_mm": length,
            "depth_mm": depth,
            "length_after_mm": round(length * 0.9, 1),
            "depth_after_mm": depth if left else round(depth * 0.8, 1),
        }
