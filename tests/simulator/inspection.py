"""What the server holds when all is at rest, read beside push and pull."""

from collections import Counter, defaultdict
from typing import Any

from heelwright import evidence, vault
from heelwright.commandlog import permissions
from heelwright.commandlog.models import (
    Access,
    CommandRecord,
    FeedRow,
    Incident,
    LoggedArgs,
    Redelivery,
)
from heelwright.declarations import Role
from heelwright.evidence.models import Link
from heelwright.tenancy.models import Device, Practice, Staff

Json = dict[str, Any]


def inspected(applied: Counter[str]) -> Json:
    with vault.unit():
        return {
            "commands": _commands(applied),
            "devices": [_device(device) for device in Device.objects.all()],
            "seen": {str(staff.pk): _seen(staff) for staff in Staff.objects.all()},
            "chain": [
                f"{fault.number} {fault.code}"
                for practice in Practice.objects.all()
                for fault in evidence.verify(practice.pk).faults
            ],
        }


def _commands(applied: Counter[str]) -> list[Json]:
    raised = defaultdict(list)
    for incident in Incident.objects.select_related("command__staff"):
        sender = incident.command.staff if incident.command else None
        own = sender is not None and incident.staff_id == sender.pk and not incident.owners_only
        hears = own or (sender is not None and sender.role == Role.OWNER)
        if hears and not _of_a_visit_judged_again(incident):
            raised[incident.command_id].append(str(incident.pk))
    links = Counter(Link.objects.filter(what="command").values_list("row_id", flat=True))
    refused = LoggedArgs.objects.filter(command__status="refused")
    kept = {args.command_id: args.sealed for args in refused}
    return [
        {
            "id": str(record.pk),
            "device": str(record.device_id),
            "seq": record.seq,
            "name": record.name,
            "status": record.status,
            "receipt": record.receipt,
            "incidents": sorted(raised[record.pk]),
            "hears_of_incidents": permissions.may_see("incident", Role(record.staff.role)),
            "links": links[record.pk],
            "applied": applied[str(record.pk)],
            "args": kept.get(record.pk),
        }
        for record in CommandRecord.objects.select_related("staff")
    ]


def _of_a_visit_judged_again(incident: Incident) -> bool:
    """Raised once for a whole delivery, when its receipts are written."""
    if incident.code == "more_visits_to_check":
        return True
    by_its_own = incident.command and incident.command.name in ("start_visit", "complete_visit")
    return incident.about == "visit" and not by_its_own


def _device(device: Device) -> Json:
    return {
        "id": str(device.pk),
        "staff": str(device.staff_id),
        "last_seq": device.last_seq,
        "revoked": device.revoked_at is not None,
        "redelivered": list(Redelivery.objects.filter(device=device).values_list("seq", flat=True)),
    }


def _seen(staff: Staff) -> list[str]:
    """The rows in a person's scopes, as `kind id version`."""
    rows = FeedRow.objects.filter(practice=staff.practice_id, gone_at=None)
    if staff.role != Role.OWNER:
        scopes = Access.objects.filter(staff=staff, until=None).values("scope")
        rows = rows.filter(scope__in=scopes)
    return sorted(
        f"{row.kind} {row.row_id} {row.seq}"
        for row in rows
        if permissions.may_see(row.kind, Role(staff.role))
    )
