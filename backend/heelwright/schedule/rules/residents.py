"""For how long what is on record of a resident still speaks for a visit. The twin is
`pwa/src/domain/schedule/residents.ts`.

A consent stands until it is taken back, and a health screen counts for a visit for some hours only;
these days say when either is to be looked at again, which a house can prepare for.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

Consent = Literal["stands", "renew", "missing"]
Screen = Literal["recent", "due"]


@dataclass(frozen=True)
class Agreed:
    """A consent to the work that stands, with the day on which it was given."""

    day: date
    by_representative: bool


def consent_until(agreed: Sequence[Agreed], decides_for_self: bool, days: int) -> date | None:
    """The last day before it is to be asked for anew; null where none holds for this client."""
    holding = [one.day for one in agreed if decides_for_self or one.by_representative]
    return max(holding) + timedelta(days=days) if holding else None


def screen_until(screened: date | None, days: int) -> date | None:
    """The last day on which the newest health screen is a recent one."""
    return None if screened is None else screened + timedelta(days=days)


def consent_on(until: date | None, day: date) -> Consent:
    if until is None:
        return "missing"
    return "stands" if day <= until else "renew"


def screen_on(until: date | None, day: date) -> Screen:
    return "recent" if until is not None and day <= until else "due"
