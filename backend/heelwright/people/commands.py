"""What may change clients. Facilities, staff and devices are next door, in `houses.py` and
`team.py`."""

from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Access
from heelwright.commandlog.permissions import check_command
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused, Role
from heelwright.people import houses, merging, own_rules, team  # noqa: F401 - declare commands
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
    as_kept,
)
from heelwright.people.cards import (
    born_by_now,
    bound_since,
    by_others,
    change_card,
    no_clash,
    nothing_emptied,
)
from heelwright.people.likeness import note_likeness
from heelwright.people.models import Client
from heelwright.people.residents import importing  # noqa: F401 - as above
from heelwright.people.team import colleague

MAY_BE_NONE = ("facility", "position", "preferred_staff", "status_since")


@command(Power.PERMISSION, RegisterClient)
def register_client(act: Act, args: RegisterClient) -> None:
    act.subject = args.client
    fresh_scope(args.client, "client")
    born_by_now(act, args.born, "born")
    facility = facility_for(act, args.facility) if args.facility else None
    if act.role is Role.COORDINATOR and facility is None:
        raise Refused(
            "missing_field",
            "A coordinator's client lives in a facility.",
            "Choose the facility.",
            field="facility",
        )
    card = as_kept(args.model_dump(exclude={"client", "facility"}))
    bound_since(act, card)
    _of_the_practice(act, args.preferred_staff, "preferred_staff")
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


def _of_the_practice(act: Act, preferred: UUID | None, field: str) -> None:
    """Raise Refused where a client would rather see somebody who does not work here."""
    if preferred is not None:
        colleague(act, preferred, field)


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
        born_by_now(act, args.changes.born, "changes.born")
    bound_since(act, changes, "changes.")
    _of_the_practice(act, args.changes.preferred_staff, "changes.preferred_staff")
    now = {field: getattr(client, _column(field)) for field in changes}
    newest = _by_others(act, client, args.client)
    no_clash(args.seen, newest, now, changes, About("client", client.pk))
    nothing_emptied(changes, may_be_none=MAY_BE_NONE)
    left = client.facility_id
    if "facility" in changes:
        lives_in = changes["facility"]
        changes["facility"] = facility_for(act, lives_in) if lives_in else None
    change_card(act, client, changes)
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
    return by_others(act, (one for one in changes if one[1].get("from") != str(named)))


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
