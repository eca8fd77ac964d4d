"""What two people may change on one card at once: different fields, or the same to the same."""

from collections.abc import Iterable, Mapping
from typing import Any

from heelwright.commandlog.act import Act
from heelwright.declarations import About, Refused
from heelwright.people.rules import clashing_field

Versions = Mapping[str, Mapping[str, Any]]


def by_others(act: Act, changes: Iterable[tuple[str, Mapping[str, Any]]]) -> dict[str, int]:
    """When each field was last changed by another device, of the entries of `field_versions`."""
    own, newest = {str(device) for device in act.own_devices}, dict[str, int]()
    for field, change in changes:
        if change["by"] not in own:
            newest[field] = max(newest.get(field, 0), change["at"])
    return newest


def no_clash(
    seen: int,
    newest: Mapping[str, int],
    now: Mapping[str, Any],
    changes: Mapping[str, Any],
    about: About,
) -> None:
    """Raise Refused where somebody else has changed one of these fields, to something else."""
    clash = clashing_field(seen, newest, now, changes)
    if clash is not None:
        raise Refused(
            "changed_elsewhere",
            "Somebody else has changed this field since.",
            "Sync, look at both, and enter the one that is right.",
            field=f"changes.{clash}",
            about=about,
        )


def nothing_emptied(changes: Mapping[str, Any], may_be_none: Iterable[str] = ()) -> None:
    """Raise Refused for a field that is sent as null and holds no null."""
    for field, value in changes.items():
        if value is None and field not in may_be_none:
            raise Refused(
                "missing_field", "This can't be empty.", "Fill it in.", f"changes.{field}"
            )


def versions_now(act: Act, before: Versions, changed: Iterable[str]) -> dict[str, Any]:
    """`field_versions` once these fields are written, at the number that comes next."""
    change = {"at": act.practice.feed_seq + 1, "by": str(act.device.pk)}
    return {**before, **dict.fromkeys(changed, change)}
