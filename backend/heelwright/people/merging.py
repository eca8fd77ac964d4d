"""One person with two cards: what is on record under one of them goes over to the other.

Rows are sealed anew under the key of the card that stays. The command log is not touched: what was
sent is kept as it was sent. Bookings that overlap afterwards are both kept.
"""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.db.models import Model

from heelwright import evidence
from heelwright.commandlog import registry
from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Access
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused, Role
from heelwright.people.access import give_client
from heelwright.people.arguments import MergeClients
from heelwright.people.models import Client, ClientLikeness
from heelwright.people.rules import BLANK_CARD, joined
from heelwright.vault.fields import SealedField

Merged = Callable[[Act, Client], None]
_merged: list[Merged] = []


def when_merged(tell: Merged) -> Merged:
    """Register what is to be done for the card that stays, once everything is under it."""
    _merged.append(tell)
    return tell


@command(Power.PERMISSION, MergeClients)
def merge_clients(act: Act, args: MergeClients) -> None:
    stays, goes = _living(act, args.stays, "stays"), _living(act, args.goes, "goes")
    if stays.pk == goes.pk:
        raise Refused("same_client", "These are one and the same card.", "Choose two.", "goes")
    act.subject = stays.pk
    for model, field in registry.followers().items():
        for row in model._default_manager.filter(**{field: goes.pk}):
            _move(act, row, field, stays.pk)
    evidence.move(goes.pk, stays.pk, act.now)
    left = goes.facility_id
    _join_cards(act, stays, goes)
    act.put(stays)
    _hand_over(act, stays, goes, left)
    for tell in _merged:
        tell(act, stays)


def _hand_over(act: Act, stays: Client, goes: Client, left: UUID | None) -> None:
    """Who had the card that goes gets the one that stays. Not so the coordinators of the facility
    on the first, where the second says that the client lives elsewhere."""
    outside = _coordinators(left) if left and left != stays.facility_id else set()
    for access in Access.objects.filter(scope=goes.pk, until=None).select_related("staff"):
        act.withdraw(access.staff, goes.pk)
        if access.staff_id not in outside:
            give_client(act, access.staff, stays)


def _coordinators(facility: UUID) -> set[UUID]:
    having = Access.objects.filter(scope=facility, until=None, staff__role=Role.COORDINATOR)
    return set(having.values_list("staff", flat=True))


def _living(act: Act, client_id: UUID, field: str) -> Client:
    client = Client.objects.filter(practice=act.practice, pk=client_id).first()
    if client is None:
        raise Refused("not_found", "This client was not found.", "Sync, look again.", field)
    if client.merged_into_id is not None:
        raise Refused(
            "merged_already",
            "This card was merged into another one already.",
            "Sync, then look at the card that stayed.",
            field=field,
            about=About("client", client.merged_into_id),
        )
    return client


def _move(act: Act, row: Model, field: str, stays: UUID) -> None:
    for column in row._meta.concrete_fields:
        if isinstance(column, SealedField):
            getattr(row, column.attname)  # Opened by its old key, to be sealed under the new one.
    setattr(row, field, stays)
    act.put(row)


def _join_cards(act: Act, stays: Client, goes: Client) -> None:
    """Leave nothing personal on the card that goes."""
    change = {"at": act.practice.feed_seq + 1, "by": str(act.device.pk)}
    first, second = _card(stays), _card(goes)
    card = joined(first, second)
    _write(stays, card)
    taken_over = {**change, "from": str(goes.pk)}
    filled = [f for f in card if card[f] != first[f]]
    stays.field_versions = {**stays.field_versions, **dict.fromkeys(filled, taken_over)}
    _write(goes, BLANK_CARD)
    differing = [f for f in card if card[f] != second[f]]
    goes.field_versions = {**goes.field_versions, **dict.fromkeys(differing, change)}
    goes.merged_into = stays
    goes.save()
    act.retire(goes)
    _lead_on(act, stays, goes)
    _take_likeness(act, stays, goes)


def _lead_on(act: Act, stays: Client, goes: Client) -> None:
    """Cards that went into the one that goes lead on at once, so that no chain ever grows."""
    for earlier in Client.objects.filter(practice=act.practice, merged_into=goes):
        earlier.field_versions = {**earlier.field_versions, **goes.field_versions}
        earlier.merged_into = stays
        earlier.save(update_fields=["field_versions", "merged_into"])


def _card(client: Client) -> dict[str, Any]:
    return {field: getattr(client, field) for field in BLANK_CARD}


def _write(client: Client, card: dict[str, Any]) -> None:
    for field, value in card.items():
        setattr(client, field, value)


def _take_likeness(act: Act, stays: Client, goes: Client) -> None:
    """So that somebody who enters this person under the other card's name is told as well."""
    marks = ClientLikeness.objects.filter(client__practice=act.practice)
    marks.filter(client=goes, mark__in=marks.filter(client=stays).values("mark")).delete()
    marks.filter(client=goes).update(client=stays)
