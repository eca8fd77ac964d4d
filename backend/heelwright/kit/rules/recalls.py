"""Which cycles of a machine are pulled back by its checks."""

from collections.abc import Iterable
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


def pulled_back(started_at: datetime, checks: Iterable[Check]) -> bool:
    """Whether a cycle that began then is in doubt: since a check failed, until the next good one
    of its kind; where the check reaches back, since the last good one before it."""
    by_kind: dict[str, list[Check]] = {}
    for check in checks:
        by_kind.setdefault(check.kind, []).append(check)
    return any(_in_doubt(started_at, of_kind) for of_kind in by_kind.values())


def _in_doubt(started_at: datetime, checks: list[Check]) -> bool:
    failed = [check for check in checks if not check.passed]
    good = [check.at for check in checks if check.passed]
    for check in failed:
        until = min((at for at in good if at > check.at), default=None)
        since = max((at for at in good if at < check.at), default=None)
        after = started_at >= check.at and (until is None or started_at < until)
        before = (
            check.reaches_back and started_at <= check.at and (since is None or started_at > since)
        )
        if after or before:
            return True
    return False
