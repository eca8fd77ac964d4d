"""Carries out one command that is new: logged, checked, applied, receipted, linked into the chain.

In a savepoint of its own, so that a refusal takes back all but the log. Whether a command is new is
for `receive` to say.
"""

import re
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Model

from heelwright import evidence, vault
from heelwright.commandlog import permissions, registry, taking
from heelwright.commandlog.act import BATCH, Act
from heelwright.commandlog.device_clock import Telling, strays
from heelwright.commandlog.models import CommandRecord, FeedRow, Incident, LoggedArgs
from heelwright.commandlog.validation import check_characters, known_name, parse
from heelwright.commandlog.wire import AboutOut, Envelope, Receipt, RefusalOut
from heelwright.commandlog.witness import canonical, digest
from heelwright.declarations import Command, Power, Refused, Role
from heelwright.tenancy.models import Device, Practice
from heelwright.tenancy.signin import DeviceRevoked

# A book's version. Anything else a sender puts there is not kept in the clear.
EDITION = re.compile("[0-9a-f]{64}")


def carry_out(practice: Practice, device: Device, envelope: Envelope, now: datetime) -> Receipt:
    """Do what a new command says, or refuse it; either way it is in the log with its receipt."""
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
        heard_at=taking.heard_at(),
        rulebook=envelope.rulebook if EDITION.fullmatch(envelope.rulebook) else "",
        fingerprint=fingerprint(practice, envelope),
        receipt={},
    )
    record.save()
    power = spec.power if spec else Power.PERMISSION
    told = Telling(envelope.made_at, now)
    act = Act(practice, device.staff, device, power, told.counted, now, record)
    receipt = Receipt(id=envelope.id, seq=envelope.seq, status="applied")
    before = practice.feed_seq
    try:
        with transaction.atomic():
            _apply(act, spec, envelope, told)
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
        _flag_not_taken(act, act.subject or _known_client(practice, envelope.args.get("client")))
    # That there is one may tell something, such as that the practice has this client already.
    if permissions.may_see("incident", act.role):
        receipt.incidents = act.incidents
    _log(practice, record, envelope, act, receipt)
    return receipt


def _apply(act: Act, spec: Command | None, envelope: Envelope, told: Telling) -> None:
    if spec is None:
        raise Refused(
            "unknown_command",
            "The server does not know this kind of entry.",
            "Update the app. If it still shows, tell the person who runs your practice.",
            field="name",
        )
    if act.device.revoked_at is not None and spec.power is Power.PERMISSION:
        raise DeviceRevoked
    check_characters(envelope.args)
    permissions.check_command(spec.name, Role(act.staff.role), envelope.args)
    try:
        spec.apply(act, parse(spec.args, envelope.args, told))
    except vault.UnsealableValue:
        # Told as a failure, it would come again each time, and all that waits behind it with it.
        raise Refused(
            "wrong_type",
            "There is a value in it that can't be kept.",
            "Enter it again. What was sent is kept, and your practice can read it.",
        ) from None
    _flag(act)
    if act.subject is not None:
        registry.bring_up_to_date(act, act.subject)


def _flag(act: Act) -> None:
    """Tell the owner of a report about somebody else's client, of one from a device that was shut
    out, and of a clock that is off: of each clock once, until somebody has looked at it."""
    assert act.record is not None  # noqa: S101 - only a founding has none, and that is no delivery
    of_others = act.subject is not None and not act.sees(act.subject)
    if act.is_report and of_others and act.announced:
        _tell_of_own(act, "client_of_others", act.announced[0])
    if act.device.revoked_at is not None and act.device.is_of_staff:
        _tell_of_own(act, "from_revoked_device", act.record)
    elif act.device.revoked_at is not None:
        _tell_of_own(act, "from_signing_link", act.record)
    before = CommandRecord.objects.filter(device=act.device, seq=act.record.seq - 1).first()
    astray = strays(act.record.made_at, act.now, before.made_at if before else None)
    astray = astray or ("clock_set_back" if act.too_early else None)
    if astray is not None and not _told(act, astray):
        _tell_of_own(act, astray, act.record)


def _flag_not_taken(act: Act, client: UUID | None) -> None:
    """Tell the owner of what a device that was shut out has sent, or the phone of a client: nobody
    else can enter it again. What was raised before the refusal is taken back with the rest."""
    assert act.record is not None  # noqa: S101 - as above
    act.incidents.clear()
    act.subject = client
    if not act.device.is_of_staff:
        _tell_of_own(act, "not_taken_from_signing_link", act.record)
    elif act.device.revoked_at is not None:
        _tell_of_own(act, "not_taken_from_revoked_device", act.record)


def _tell_of_own(act: Act, code: str, about: Model) -> None:
    """Tell the owner and whoever sent the command: also where they do not see the client, since it
    says no more than what they sent."""
    assert act.record is not None  # noqa: S101 - as above
    act.raise_incident(code, about, [act.record.name], act.subject, of_own_doing=True)


def _told(act: Act, code: str) -> bool:
    waiting = Incident.objects.filter(practice=act.practice, staff=act.staff, closed_at=None)
    return waiting.filter(code=code, command__device=act.device).exists()


def _log(
    practice: Practice,
    record: CommandRecord,
    envelope: Envelope,
    act: Act,
    receipt: Receipt,
) -> None:
    """Seal the arguments under the client's key where the client is known, else under the
    practice's; where they are about several, each part under its own."""
    subject, parts = act.subject, act.logged
    if receipt.status == "refused":
        subject, parts = _known_client(practice, subject or envelope.args.get("client")), {}
    args = [
        LoggedArgs(command=record, practice=practice, subject=about, sealed=part)
        for about, part in (parts or {subject or practice.pk: envelope.args}).items()
    ]
    LoggedArgs.objects.bulk_create(args, batch_size=BATCH)
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


def fingerprint(practice: Practice, envelope: Envelope) -> bytes:
    """A keyed digest of all that a command says, to tell a retry from a clone."""
    return vault.fingerprint(practice.pk, "command", canonical(envelope.model_dump(mode="json")))
