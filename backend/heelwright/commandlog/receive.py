"""Takes commands from a device: each logged, checked, carried out and receipted, exactly once.

One transaction a delivery, one savepoint a command. The practice's row is locked first and until
the commit, so the order of feed numbers is the order of commits and a reader can't pass a later one
by.
"""

import re
from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import transaction

from heelwright import evidence, vault
from heelwright.commandlog import permissions, registry
from heelwright.commandlog.act import Act
from heelwright.commandlog.device_clock import check_made_at, strays
from heelwright.commandlog.history import writing
from heelwright.commandlog.models import CommandRecord, FeedRow, LoggedArgs
from heelwright.commandlog.validation import check_characters, known_name, parse
from heelwright.commandlog.wire import AboutOut, Envelope, Receipt, RefusalOut
from heelwright.commandlog.witness import canonical, digest
from heelwright.declarations import Command, Power, Refused, Role
from heelwright.tenancy.models import Device, Practice
from heelwright.tenancy.signin import DeviceRevoked

# A book's version. Anything else a sender puts there is not kept in the clear.
EDITION = re.compile("[0-9a-f]{64}")


class DeviceCloned(Refused):
    """409: two devices speak with one number; what the second one says can't be told apart."""

    def __init__(self) -> None:
        super().__init__(
            "device_cloned",
            "Another copy of this device has sent different work under the same number.",
            "Sign in again on this device; what is not sent yet stays here.",
        )


def receive(device_id: UUID, envelopes: Sequence[Envelope], now: datetime) -> list[Receipt]:
    """Carry out a device's commands in order. Raises DeviceCloned or DeviceRevoked, with no
    effect."""
    with writing(now, devices=device_id) as practice, vault.unit():
        device = (
            Device.objects.select_related("staff").select_for_update(of=("self",)).get(pk=device_id)
        )
        if device.revoked_at is not None or not device.staff.is_active:
            raise DeviceRevoked
        receipts = [_take(practice, device, envelope, now) for envelope in envelopes]
        device.save(update_fields=["last_seq"])
    return receipts


def _take(practice: Practice, device: Device, envelope: Envelope, now: datetime) -> Receipt:
    fingerprint = _fingerprint(practice, envelope)
    if envelope.seq <= device.last_seq:
        return _again(device, envelope, fingerprint)
    if envelope.seq > device.last_seq + 1:
        return Receipt(id=envelope.id, seq=envelope.seq, status="held_back")
    if CommandRecord.objects.filter(pk=envelope.id).exists():
        raise DeviceCloned
    device.last_seq = envelope.seq
    return _carry_out(practice, device, envelope, fingerprint, now)


def _again(device: Device, envelope: Envelope, fingerprint: bytes) -> Receipt:
    """The stored receipt of a command that came before."""
    known = CommandRecord.objects.get(device=device, seq=envelope.seq)
    if bytes(known.fingerprint) != fingerprint:
        raise DeviceCloned
    stored = Receipt.model_validate(known.receipt)
    return stored.model_copy(update={"status": "already_applied"})


def _carry_out(
    practice: Practice, device: Device, envelope: Envelope, fingerprint: bytes, now: datetime
) -> Receipt:
    spec = registry.commands().get(envelope.name)
    record = CommandRecord(
        id=envelope.id,
        practice=practice,
        device=device,
        staff=device.staff,
        seq=envelope.seq,
        name=envelope.name if spec else "unknown",
        made_at=envelope.made_at,
        received_at=now,
        rulebook=envelope.rulebook if EDITION.fullmatch(envelope.rulebook) else "",
        fingerprint=fingerprint,
        receipt={},
    )
    record.save()
    power = spec.power if spec else Power.PERMISSION
    act = Act(practice, device.staff, device, power, envelope.made_at, now, record)
    receipt = Receipt(id=envelope.id, seq=envelope.seq, status="applied")
    before = practice.feed_seq
    try:
        with transaction.atomic():
            _apply(act, spec, envelope)
        receipt.incidents = act.incidents
    except Refused as no:
        practice.feed_seq = before
        receipt.status = "refused"
        receipt.refusal = RefusalOut(
            code=no.code,
            field=known_name(no.field),
            text=no.text,
            remedy=no.remedy,
            about=AboutOut(kind=no.about.kind, id=no.about.id) if no.about else None,
        )
        record.refusal_code = no.code
    _log(practice, record, envelope, act.subject, receipt)
    return receipt


def _apply(act: Act, spec: Command | None, envelope: Envelope) -> None:
    if spec is None:
        raise Refused(
            "unknown_command",
            "The server does not know this kind of entry.",
            "Update the app. If it still shows, tell the person who runs your practice.",
            field="name",
        )
    check_made_at(envelope.made_at, act.now, spec.power)
    check_characters(envelope.args)
    permissions.check_command(spec.name, Role(act.staff.role), envelope.args)
    spec.apply(act, parse(spec.args, envelope.args))
    _flag(act, spec)


def _flag(act: Act, spec: Command) -> None:
    """Tell the owner of a report about somebody else's client, and of a clock that is off."""
    assert act.record is not None  # noqa: S101 - only a founding has none, and that is no delivery
    of_others = act.subject is not None and not act.sees(act.subject)
    if act.is_report and of_others and act.announced:
        act.raise_incident("client_of_others", act.announced[0], [spec.name], act.subject)
    before = CommandRecord.objects.filter(device=act.device, seq=act.record.seq - 1).first()
    astray = strays(act.made_at, act.now, before.made_at if before else None)
    if astray is not None:
        act.raise_incident(astray, act.record, [spec.name], act.subject)


def _log(
    practice: Practice,
    record: CommandRecord,
    envelope: Envelope,
    subject: UUID | None,
    receipt: Receipt,
) -> None:
    """Seal the arguments under the client's key where the client is known, else under the
    practice's."""
    if receipt.status == "refused":
        subject = _known_client(practice, subject or envelope.args.get("client"))
    about = subject or practice.pk
    args = LoggedArgs(command=record, practice=practice, subject=about, sealed=envelope.args)
    args.save()
    record.status = receipt.status
    record.receipt = receipt.model_dump(mode="json")
    record.save()
    evidence.append(practice.pk, "command", record.pk, digest(record, args), record.received_at)


def _known_client(practice: Practice, named: object) -> UUID | None:
    """The client a refused command speaks of, if it is one of this practice."""
    try:
        client = UUID(str(named))
    except ValueError:
        return None
    known = FeedRow.objects.filter(practice=practice, kind="client", row_id=client).exists()
    return client if known else None


def _fingerprint(practice: Practice, envelope: Envelope) -> bytes:
    return vault.fingerprint(practice.pk, "command", canonical(envelope.model_dump(mode="json")))
