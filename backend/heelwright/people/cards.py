"""What two people may change on one card at once: different fields, or the same to the same."""

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from heelwright.commandlog.act import Act
from heelwright.declarations import About, Refused, Role
from heelwright.people.likeness import note_likeness
from heelwright.people.models import Client
from heelwright.people.rules import clashing_field, milder

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
    within: str = "changes.",
) -> None:
    """Raise Refused where somebody else has changed one of these fields, to something else."""
    clash = clashing_field(seen, newest, now, changes)
    if clash is not None:
        raise Refused(
            "changed_elsewhere",
            "Somebody else has changed this field since.",
            "Sync, look at both, and enter the one that is right.",
            field=within + clash,
            about=about,
        )


def nothing_emptied(
    changes: Mapping[str, Any], may_be_none: Iterable[str] = (), within: str = "changes."
) -> None:
    """Raise Refused for a field that is sent as null and holds no null."""
    for field, value in changes.items():
        if value is None and field not in may_be_none:
            raise Refused("missing_field", "This can't be empty.", "Fill it in.", within + field)


def change_card(act: Act, client: Client, changes: Mapping[str, Any]) -> None:
    """Write fields of a client's card that may be written, and tell the owner where fewer questions
    are asked by them, or another may sign."""
    before = {"born": client.born, "decides_for_self": client.decides_for_self}
    for field, value in changes.items():
        setattr(client, field, value)
    client.field_versions = versions_now(act, client.field_versions, changes)
    act.put(client)
    if act.role is not Role.OWNER and (eased := milder(before, changes)):
        act.raise_incident("card_made_milder", client, eased, client.pk)
    if {"name", "born"} & set(changes):
        note_likeness(act, client)


def born_by_now(act: Act, born: date, field: str) -> None:
    if born > act.now.date():
        raise Refused("date_too_late", "This date of birth lies ahead.", "Check the year.", field)


def bound_since(act: Act, kept: dict[str, Any], within: str = "") -> None:
    """Since when a client has been away, of a card or of changes to one, as it counts."""
    if since := kept.get("status_since"):
        counted = act.day_told(date.fromisoformat(since), f"{within}status_since")
        kept["status_since"] = counted.isoformat()


def versions_now(act: Act, before: Versions, changed: Iterable[str]) -> dict[str, Any]:
    """`field_versions` once these fields are written, at the number that comes next."""
    change = {"at": act.practice.feed_seq + 1, "by": str(act.device.pk)}
    return {**before, **dict.fromkeys(changed, change)}
