"""Which cycles of a machine are pulled back by its checks."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Check:
    """One check of one machine. `at` is when the machine was tested, not when the test was read.
    One that `reaches_back` casts doubt on what came before it as well."""

    kind: str
    at: datetime
    passed: bool
    reaches_back: bool


@dataclass(frozen=True)
class Doubt:
    """The span in which cycles are in doubt: from `since`, which itself is in doubt only where
    `with_since` says so, up to and without `until`; None is without end."""

    since: datetime | None
    with_since: bool
    until: datetime | None

    def covers(self, moment: datetime) -> bool:
        began = (
            self.since is None or moment > self.since or (self.with_since and moment == self.since)
        )
        return began and (self.until is None or moment < self.until)


def doubt(failed: Check, checks: Iterable[Check]) -> Doubt:
    """What a failed check casts doubt on: from it to the next good one of its kind; where it
    reaches back, from the last good one before it."""
    good = [check.at for check in checks if check.passed and check.kind == failed.kind]
    until = min((at for at in good if at > failed.at), default=None)
    if not failed.reaches_back:
        return Doubt(failed.at, with_since=True, until=until)
    return Doubt(max((at for at in good if at < failed.at), default=None), False, until)


def pulled_back(started_at: datetime, checks: Collection[Check]) -> bool:
    """Whether a cycle that began then is in doubt by any failed check of its machine."""
    failed = (check for check in checks if not check.passed)
    return any(doubt(check, checks).covers(started_at) for check in failed)
