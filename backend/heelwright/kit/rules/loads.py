"""Whether one cycle, of a steriliser or in a disinfectant, did what it must."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

Level = Literal["disinfect", "sterilise"]
Indicator = Literal["passed", "failed", "not_read"]
LoadState = Literal["running", "complete", "again"]

# What a clock that was put right in mid-cycle, or a slow tap, may take from it.
SLACK_MINUTES = 1 / 60
# A start that was told by a tap is told in the same minute.
LATE_MINUTES = 1


@dataclass(frozen=True)
class Asked:
    """What a cycle must reach. `celsius` is None where no heat is used; `indicator` says that a
    chemical indicator must be read. What it cleans then keeps for `storage_days`."""

    level: Level
    minutes: float
    celsius: float | None
    indicator: bool
    storage_days: int


def stricter(one: Asked, other: Asked) -> Asked:
    """What asks no less than either of them, and grants no more."""
    heats = [each.celsius for each in (one, other) if each.celsius is not None]
    disinfects = "disinfect" in (one.level, other.level)
    return Asked(
        level="disinfect" if disinfects else "sterilise",
        minutes=max(one.minutes, other.minutes),
        celsius=max(heats, default=None),
        indicator=one.indicator or other.indicator,
        storage_days=min(one.storage_days, other.storage_days),
    )


@dataclass(frozen=True)
class End:
    """How somebody says that a cycle ended. `ran_minutes` is between the two taps; `held_minutes`
    and `celsius` are what the machine showed, None where nobody read it."""

    id: str
    ran_minutes: float
    held_minutes: float | None
    celsius: float | None
    indicator: Indicator
    interrupted: bool


@dataclass(frozen=True)
class Load:
    """`asked` is None where the process is not known. `faults` were there when it began."""

    asked: Asked | None
    faults: tuple[str, ...]
    ends: tuple[End, ...]
    pulled_back: bool


@dataclass(frozen=True)
class Outcome:
    state: LoadState
    reasons: tuple[str, ...]


def ran_minutes(started_at: datetime, ended_at: datetime, heard_at: datetime | None) -> float:
    """How long a cycle ran at least. `heard_at` is when the server heard of its start, where
    another phone ended it: the clocks of two phones are not compared."""
    start = started_at if heard_at is None else max(started_at, heard_at)
    return max(0.0, (ended_at - start).total_seconds() / 60)


def told_late(started_at: datetime, told_at: datetime | None) -> bool:
    """Whether somebody said of a cycle afterwards that it had begun. `told_at` is None where that
    is not on record."""
    return told_at is not None and (told_at - started_at).total_seconds() > LATE_MINUTES * 60


def outcome(load: Load) -> Outcome:
    """One with a fault starts again, whatever else is said of it: of two ends the worse counts."""
    reasons = list(load.faults)
    if load.asked is None:
        reasons.append("process_unknown")
    else:
        for end in load.ends:
            reasons += [each for each in _faults(load.asked, end) if each not in reasons]
    if load.pulled_back:
        reasons.append("pulled_back")
    if reasons:
        return Outcome("again", tuple(reasons))
    return Outcome("complete" if load.ends else "running", ())


def _faults(asked: Asked, end: End) -> list[str]:
    heated = asked.celsius is not None
    held = end.held_minutes if heated else end.ran_minutes
    least = asked.minutes - SLACK_MINUTES
    found = {
        "interrupted": end.interrupted,
        "time_not_read": held is None,
        "too_short": end.ran_minutes < least or (held is not None and held < least),
        "heat_not_read": heated and end.celsius is None,
        "too_cool": heated
        and end.celsius is not None
        and asked.celsius is not None
        and end.celsius < asked.celsius,
        "indicator_failed": end.indicator == "failed",
        "indicator_not_read": asked.indicator and end.indicator == "not_read",
    }
    return [reason for reason, so in found.items() if so]
