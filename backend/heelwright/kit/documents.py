"""The sheet of labels: of which things, and who may print it."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any
from uuid import UUID

from heelwright import clock
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused, Role
from heelwright.kit import log, recall_list  # noqa: F401 - declare their papers
from heelwright.kit.facts import facts_of
from heelwright.kit.label_sheet import Label, sheet
from heelwright.kit.models import Thing
from heelwright.tenancy.models import Device


def label_sheet(reader: Device, row_id: UUID) -> dict[str, Any]:
    """The label of one thing, or with the practice's own id those of all that are in service."""
    practice = reader.practice
    if not may_see("kit_thing", Role(reader.staff.role)):
        raise _not_found()
    things = Thing.objects.filter(practice=practice)
    if row_id == practice.pk:
        chosen = list(_in_service(things))
        if not chosen:
            raise Refused(
                "no_labels",
                "There is nothing yet that needs a label.",
                "Enter a set, a product, a lot or a machine first.",
                "row_id",
            )
    else:
        chosen = list(things.filter(pk=row_id))
        if not chosen:
            raise _not_found()
    labels = [Label(thing.label, thing.card["name"], practice.name) for thing in chosen]
    return sheet(sorted(labels, key=_by_name), practice.place, clock.now())


def _not_found() -> Refused:
    return Refused("not_found", "This was not found among the kit.", "Sync, look again.", "row_id")


def _in_service(things: Iterable[Thing]) -> Iterable[Thing]:
    """All but the sets that were taken out of use for good; the other kinds have no such step."""
    now, known = clock.now(), list(things)
    sets = facts_of(thing for thing in known if thing.kind == "set")
    return [
        thing
        for thing in known
        if thing.pk not in sets or sets[thing.pk].standing(now).state != "retired"
    ]


def _by_name(label: Label) -> tuple[str, str]:
    return label.name.casefold(), label.code


document(Document("label_sheet", Path(__file__).parent / "label_sheet.typ", label_sheet))
