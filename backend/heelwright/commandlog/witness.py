"""What the evidence chain holds of a command, when it is logged and when the log is read again."""

import hashlib
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from heelwright import evidence, vault
from heelwright.commandlog.models import CommandRecord, LoggedArgs


def canonical(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":")).encode()


def digest(record: CommandRecord, args: LoggedArgs) -> bytes:
    """Over all that is in the clear, and the sealed arguments. The same before and after the
    database has had the row."""
    clear = {
        "id": str(record.pk),
        "device": str(record.device_id),
        "staff": str(record.staff_id),
        "seq": record.seq,
        "name": record.name,
        "made_at": _moment(record.made_at),
        "received_at": _moment(record.received_at),
        "rulebook": record.rulebook,
        "receipt": record.receipt,
    }
    return hashlib.sha256(canonical(clear) + vault.sealed_bytes(args, "sealed")).digest()


def _moment(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def logged(practice: UUID) -> Iterator[tuple[UUID, bytes]]:
    """Every command of a practice as the log has it now; one without arguments has no digest."""
    without = CommandRecord.objects.filter(practice=practice, args=None)
    yield from ((command, b"") for command in without.values_list("pk", flat=True).iterator())
    kept = LoggedArgs.objects.filter(command__practice=practice).select_related("command")
    for args in kept.iterator(chunk_size=500):
        yield args.command_id, digest(args.command, args)


def _practices() -> Iterator[UUID]:
    yield from CommandRecord.objects.values_list("practice", flat=True).distinct()


evidence.stands_for("command", evidence.Kind(logged, _practices))
