"""What may change clients and facilities. Staff and devices are next door, in `team.py`."""

from datetime import date
from typing import Any
from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Access
from heelwright.commandlog.permissions import check_command
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused, Role
from heelwright.people import merging, own_rules, team  # noqa: F401 - declare their commands
from heelwright.people.access import (
    client_for,
    facility_for,
    fresh_scope,
    give_client,
    take_client,
)
from heelwright.people.arguments import (
    AmendClient,
    AssignClient,
    RegisterClient,
    RegisterFacility,
    as_kept,
)
from heelwright.people.likeness import note_likeness
from heelwright.people.models import Client, Facility
from heelwright.people.rules import clashing_field, milder
from heelwright.people.team import colleague


@command(Power.PERMISSION, RegisterClient)
def register_client(act: Act, args: RegisterClient) -> None:
    act.subject = args.client
    fresh_scope(args.client, "client")
    _born_by_now(act, args.born, "born")
    facility = facility_for(act, args.facility) if args.facility else None
    if act.role is Role.COORDINATOR and facility is None:
        raise Refused(
            "missing_field",
            "A coordinator's client lives in a facility.",
            "Choose the facility.",
            field="facility",
        )
    card = as_kept(args.model_dump(exclude={"client", "facility"}))
    _bound_since(act, card)
    client = Client(
        id=args.client,
        practice=act.practice,
        facility=facility,
        **card,
    )
    act.put(client)
    give_client(act, act.staff, client)
    _open_to_facility(act, client)
    note_likeness(act, client)


def _born_by_now(act: Act, born: date, field: str) -> None:
    if born > act.now.date():
        raise Refused("date_too_late", "This date of birth lies ahead.", "Check the year.", field)


def _bound_since(act: Act, kept: dict[str, Any], within: str = "") -> None:
    """Since when a client has been away, of a card or of changes to one, as it counts."""
    if since := kept.get("status_since"):
        counted = act.day_told(date.fromisoformat(since), f"{within}status_since")
        kept["status_since"] = counted.isoformat()


def _open_to_facility(act: Act, client: Client) -> None:
    """Everyone who has a facility sees its clients, each as far as their role goes."""
    if client.facility_id is None:
        return
    for access in Access.objects.filter(scope=client.facility_id, until=None).select_related(
        "staff"
    ):
        give_client(act, access.staff, client)


def _close_to_coordinators(act: Act, client: Client, facility: UUID) -> None:
    for access in Access.objects.filter(scope=facility, until=None).select_related("staff"):
        if access.staff.role == Role.COORDINATOR:
            take_client(act, access.staff, client)


@command(Power.PERMISSION, AmendClient)
def amend_client(act: Act, args: AmendClient) -> None:
    client = client_for(act, args.client)
    changes = args.changes.given()
    check_command("register_client", act.role, changes, within="changes.")
    if args.changes.born is not None:
        _born_by_now(act, args.changes.born, "changes.born")
    _bound_since(act, changes, "changes.")
    now = {field: getattr(client, _column(field)) for field in changes}
    clash = clashing_field(args.seen, _by_others(act, client, args.client), now, changes)
    if clash is not None:
        raise Refused(
            "changed_elsewhere",
            "Somebody else has changed this field since.",
            "Sync, look at both, and enter the one that is right.",
            field=f"changes.{clash}",
            about=About("client", client.pk),
        )
    left = client.facility_id
    if "facility" in changes:
        lives_in = changes["facility"]
        changes["facility"] = facility_for(act, lives_in) if lives_in else None
    before = {"born": client.born, "decides_for_self": client.decides_for_self}
    for field, value in changes.items():
        if value is None and field not in ("facility", "status_since"):
            raise Refused(
                "missing_field", "This can't be empty.", "Fill it in.", f"changes.{field}"
            )
        setattr(client, field, value)
    change = {"at": act.practice.feed_seq + 1, "by": str(act.device.pk)}
    client.field_versions = {**client.field_versions, **dict.fromkeys(changes, change)}
    act.put(client)
    if act.role is not Role.OWNER and (eased := milder(before, changes)):
        act.raise_incident("card_made_milder", client, eased, client.pk)
    if {"name", "born"} & set(changes):
        note_likeness(act, client)
    if "facility" in changes and left != client.facility_id:
        if left is not None:
            _close_to_coordinators(act, client, left)
        _open_to_facility(act, client)


def _by_others(act: Act, client: Client, named: UUID) -> dict[str, int]:
    """When each field was last changed by another device.

    A device that names a card which was merged into this one has seen that card: what this one took
    over from it is no news, what the two differed in is.
    """
    changes = list(client.field_versions.items())
    if named != client.pk:
        changes += Client.objects.get(pk=named).field_versions.items()
    own, newest = {str(device) for device in act.own_devices}, dict[str, int]()
    for field, change in changes:
        if change["by"] not in own and change.get("from") != str(named):
            newest[field] = max(newest.get(field, 0), change["at"])
    return newest


def _column(field: str) -> str:
    return "facility_id" if field == "facility" else field


@command(Power.PERMISSION, AssignClient)
def assign_client(act: Act, args: AssignClient) -> None:
    client = client_for(act, args.client)
    give_client(act, colleague(act, args.staff), client)


@command(Power.PERMISSION, AssignClient)
def unassign_client(act: Act, args: AssignClient) -> None:
    client = client_for(act, args.client)
    take_client(act, colleague(act, args.staff), client)


@command(Power.PERMISSION, RegisterFacility)
def register_facility(act: Act, args: RegisterFacility) -> None:
    fresh_scope(args.facility, "facility")
    act.put(
        Facility(
            id=args.facility,
            practice=act.practice,
            name=args.name,
            address=args.address,
            phone=args.phone,
        )
    )
