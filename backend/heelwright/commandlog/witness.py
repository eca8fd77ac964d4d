"""What the evidence chain holds of a command, when it is logged and when the log is read again."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from heelwright import evidence, vault
from heelwright.commandlog.models import CommandRecord, LoggedArgs


def canonical(value: Any) -> bytes:
    return json.dumps(value, sort_keys=True, separators=(",", ":")).encode()


def digest(record: CommandRecord, args: Iterable[LoggedArgs]) -> bytes:
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
    sealed = [vault.sealed_bytes(part, "sealed") for part in sorted(args, key=lambda one: one.pk)]
    return hashlib.sha256(canonical(clear) + b"".join(sealed)).digest()


def _moment(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def logged(practice: UUID) -> Iterator[tuple[UUID, bytes]]:
    """Every command of a practice as the log has it now; one without arguments has no digest."""
    kept = CommandRecord.objects.filter(practice=practice).prefetch_related("args")
    for record in kept.iterator(chunk_size=500):
        args = record.args.all()
        yield record.pk, digest(record, args) if args else b""


def _practices() -> Iterator[UUID]:
    yield from CommandRecord.objects.values_list("practice", flat=True).distinct()


evidence.stands_for("command", evidence.Kind(logged, _practices))
