"""The list of the clients whom a bad cycle or a failed check reached, for the owner to call."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused, Role
from heelwright.intake.may_read import minute_of
from heelwright.kit.models import Load, MachineCheck, Use
from heelwright.kit.recalling import in_doubt_by, reached_by
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.tenancy.models import Device, Practice


def recall_list(reader: Device, row_id: UUID) -> dict[str, Any]:
    """Of a cycle or of a failed check, by its id; raises Refused for anybody but an owner."""
    practice = reader.practice
    check = MachineCheck.objects.filter(practice=practice, pk=row_id).first()
    loads = in_doubt_by(check) if check else Load.objects.filter(practice=practice, pk=row_id)
    if reader.staff.role != Role.OWNER or (check is None and not loads.exists()):
        raise Refused(
            "not_found", "This was not found among the kit.", "Sync, look again.", "row_id"
        )
    zone, now = ZoneInfo(practice.zone), clock.now()
    return {
        "written_on": _at(now, zone),
        "written_at": now.isoformat(),
        "practice": practice.name,
        "invented": practice.invented,
        "why": _of_check(practice, check, zone) if check else _of_cycle(loads[0], zone),
        "cycles": [_at(load.started_at, zone) for load in loads.order_by("started_at")],
        "clients": list(_clients(reached_by(loads), zone)),
    }


def _of_check(practice: Practice, check: MachineCheck, zone: ZoneInfo) -> str:
    words = book_of(practice).content.words["en"]
    name = words.get(f"machine_check.{check.kind}", check.kind)
    return f"{check.machine.card['name']}: {name}, tested {_at(check.tested_at, zone)}, failed"


def _of_cycle(load: Load, zone: ZoneInfo) -> str:
    with_ = load.machine or load.product
    return f"{with_.card['name'] if with_ else 'A cycle'}, begun {_at(load.started_at, zone)}"


def _clients(uses: Any, zone: ZoneInfo) -> Iterator[dict[str, Any]]:
    """Each client once, by name, with every use."""
    of: dict[Client, list[Use]] = {}
    for use in uses:
        of.setdefault(use.client, []).append(use)
    for client in sorted(of, key=lambda one: (one.name.casefold(), one.pk)):
        yield {
            "name": client.name,
            "born": client.born,
            "reach": [text for text in (client.phone, client.email, _contact(client)) if text],
            "uses": [_use(use, zone) for use in of[client]],
        }


def _contact(client: Client) -> str:
    return ", ".join(filter(None, [client.contact_name, client.contact_phone]))


def _use(use: Use, zone: ZoneInfo) -> str:
    thing = use.step.thing if use.step else None
    return f"{_at(use.used_at, zone)}, {thing.card['name']} ({thing.label})" if thing else ""


def _at(moment: datetime, zone: ZoneInfo) -> str:
    return minute_of(moment.astimezone(zone))


document(Document("recall_list", Path(__file__).parent / "recall_list.typ", recall_list))
