"""Pure decisions about people: ages, and what two people may change on one card at once."""

from collections.abc import Mapping
from datetime import date
from typing import Any


def age_on(born: date, day: date) -> int:
    """Whole years of age on a day. A birthday on 29 February counts from 1 March in other years."""
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))


def clashing_field(
    seen: int, versions: Mapping[str, int], now: Mapping[str, Any], changes: Mapping[str, Any]
) -> str | None:
    """The first changed field that somebody else has changed, to something else, since `seen`."""
    for field, value in changes.items():
        if versions.get(field, 0) > seen and now[field] != value:
            return field
    return None


def milder(before: Mapping[str, Any], changes: Mapping[str, Any]) -> list[str]:
    """The changed fields of a card by which fewer questions are asked, or another may sign: a
    client who becomes younger, or who decides for themselves again."""
    found = []
    if changes.get("born", "") > before["born"]:
        found.append("born")
    if changes.get("decides_for_self") and not before["decides_for_self"]:
        found.append("decides_for_self")
    return found
