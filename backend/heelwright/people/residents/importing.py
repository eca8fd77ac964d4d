"""Taking in a facility's residents, all or nothing, as a person has looked at them."""

from collections.abc import Iterator, Sequence
from typing import Any
from uuid import UUID

from pydantic import Field

from heelwright import vault
from heelwright.commandlog.act import BATCH, Act
from heelwright.commandlog.models import Access
from heelwright.commandlog.registry import command
from heelwright.commandlog.wire import Args, Line, Name, Version
from heelwright.declarations import About, Power, Refused
from heelwright.people.access import SCOPES, facility_for
from heelwright.people.arguments import Born, Email, Since, as_kept
from heelwright.people.cards import (
    born_by_now,
    bound_since,
    by_others,
    change_card,
    no_clash,
    nothing_emptied,
)
from heelwright.people.likeness import note_new
from heelwright.people.models import Client, Facility
from heelwright.people.rules import Status

MOST = 20_000


class NewResident(Args):
    client: UUID
    name: Name
    born: Born
    room: Line = ""
    corridor: Line = ""
    see_last: bool = False
    phone: Line = ""
    email: Email = ""
    contact_name: Line = ""
    contact_role: Line = ""
    contact_phone: Line = ""


class ResidentChanges(Args):
    name: Name | None = None
    born: Born | None = None
    room: Line | None = None
    corridor: Line | None = None
    see_last: bool | None = None
    phone: Line | None = None
    email: Email | None = None
    contact_name: Line | None = None
    contact_role: Line | None = None
    contact_phone: Line | None = None
    status: Status | None = None
    status_since: Since | None = None


class ChangedResident(Args):
    client: UUID
    seen: Version
    changes: ResidentChanges


class ImportResidents(Args):
    facility: UUID
    new: list[NewResident] = Field(default=[], max_length=MOST)
    changed: list[ChangedResident] = Field(default=[], max_length=MOST)


@command(Power.PERMISSION, ImportResidents)
def import_residents(act: Act, args: ImportResidents) -> None:
    house = facility_for(act, args.facility)
    new = list(_new(act, house, args.new))
    _take_in(act, house, new)
    _change_all(act, house, args.changed)
    told: list[NewResident | ChangedResident] = [*args.new, *args.changed]
    parts = {one.client: one.model_dump(mode="json", exclude_unset=True) for one in told}
    act.log_apart({"facility": str(house.pk), "clients": [str(id_) for id_ in parts]}, parts)


def _new(act: Act, house: Facility, told: Sequence[NewResident]) -> Iterator[Client]:
    taken = _taken([one.client for one in told])
    for at, one in enumerate(told):
        if one.client in taken:
            raise Refused(
                "id_taken",
                "This record is on the server already.",
                "Sync, and read the file again.",
                field=f"new.{at}.client",
            )
        taken.add(one.client)
        born_by_now(act, one.born, f"new.{at}.born")
        card: dict[str, Any] = as_kept(one.model_dump(exclude={"client"}))
        yield Client(id=one.client, practice=act.practice, facility=house, status="active", **card)


def _taken(ids: Sequence[UUID]) -> set[UUID]:
    return {
        pk
        for model in SCOPES
        for start in range(0, len(ids), BATCH)
        for pk in model._default_manager.filter(pk__in=ids[start : start + BATCH]).values_list(
            "pk", flat=True
        )
    }


def _take_in(act: Act, house: Facility, new: Sequence[Client]) -> None:
    """Everyone who has the facility sees them, and whoever takes them in."""
    ids = [client.pk for client in new]
    vault.make(act.practice.pk, ids)
    act.put_new(new)
    having = Access.objects.filter(scope=house.pk, until=None).select_related("staff")
    people = {access.staff_id: access.staff for access in having} | {act.staff.pk: act.staff}
    act.grant_new(people.values(), ids)
    note_new(act, new)


def _change_all(act: Act, house: Facility, told: Sequence[ChangedResident]) -> None:
    living = Client.objects.filter(facility=house, merged_into=None)
    there = {client.pk: client for client in living} if told else {}
    vault.prefetch(there)
    for at, one in enumerate(told):
        client = there.pop(one.client, None)
        within = f"changed.{at}."
        if client is None:
            raise Refused(
                "not_found",
                "This resident was not found in the facility, or is named twice.",
                "Sync, and read the file again.",
                field=f"{within}client",
            )
        _change(act, client, one, f"{within}changes.")


def _change(act: Act, client: Client, told: ChangedResident, within: str) -> None:
    changes = as_kept(told.changes.model_dump(include=told.changes.model_fields_set))
    if told.changes.born is not None:
        born_by_now(act, told.changes.born, f"{within}born")
    bound_since(act, changes, within)
    now = {field: getattr(client, field) for field in changes}
    newest = by_others(act, client.field_versions.items())
    no_clash(told.seen, newest, now, changes, About("client", client.pk), within)
    nothing_emptied(changes, ("status_since",), within)
    change_card(act, client, changes)
