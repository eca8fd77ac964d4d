"""Takes a delivery from a device: which of its commands are new, which came before, which are
early.

One transaction a delivery, under the practice's lock. What a new command does is in `carry_out`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from heelwright import vault
from heelwright.commandlog import taking
from heelwright.commandlog.carry_out import carry_out, fingerprint
from heelwright.commandlog.contact import fetched_at
from heelwright.commandlog.history import Heard, is_lost, place, writing, written_at
from heelwright.commandlog.models import CommandRecord, Redelivery
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.declarations import Refused
from heelwright.tenancy.models import Device, Practice
from heelwright.tenancy.signin import DeviceRevoked


class DeviceCloned(Refused):
    """409: two devices speak with one number; what the second one says can't be told apart."""

    def __init__(self) -> None:
        super().__init__(
            "device_cloned",
            "Another copy of this device has sent different work under the same number.",
            "Sign in again on this device; what is not sent yet stays here.",
        )


@dataclass(frozen=True)
class Delivery:
    """A receipt for each command, in order; the number that is waited for; how far the history
    goes now, and whether that which the device has heard of was lost."""

    receipts: list[Receipt]
    next_seq: int
    heard: Heard
    lost: bool


def receive(
    device_id: UUID, envelopes: Sequence[Envelope], now: datetime, heard: Heard | None = None
) -> Delivery:
    """Carry out a device's commands in order. Raises DeviceCloned or DeviceRevoked, with no effect.

    Where the device has receipts of a lost history, all are held back: what they rest on may be
    lost as well, and their numbers were given in that history.
    """
    with writing(now, devices=device_id) as practice, vault.unit():
        device = (
            Device.objects.select_related("staff").select_for_update(of=("self",)).get(pk=device_id)
        )
        if not device.may_deliver(now):
            raise DeviceRevoked
        lost, before = is_lost(practice, heard), (device.last_seq, practice.feed_seq)
        told = fetched_at(device, written_at(practice, heard), [one.id for one in envelopes])
        with taking.delivery(told):
            receipts = [
                _hold_back(envelope) if lost else _take(practice, device, envelope, now)
                for envelope in envelopes
            ]
        if device.last_seq > before[0]:
            device.save(update_fields=["last_seq"])
            # A receipt is told from one of a lost history by its mark: so each delivery has one.
            practice.feed_seq = max(practice.feed_seq, before[1] + 1)
    return Delivery(receipts, device.last_seq + 1, place(practice), lost)


def _hold_back(envelope: Envelope) -> Receipt:
    return Receipt(id=envelope.id, seq=envelope.seq, status="held_back")


def _take(practice: Practice, device: Device, envelope: Envelope, now: datetime) -> Receipt:
    if envelope.seq > device.last_seq + 1:
        return _hold_back(envelope)
    if envelope.seq <= device.last_seq:
        return _stored(_taken_before(device, envelope.seq), practice, envelope)
    device.last_seq = envelope.seq
    known = CommandRecord.objects.filter(pk=envelope.id).first()
    if known is None:
        return carry_out(practice, device, envelope, now)
    return _moved(known, practice, device, envelope)


def _taken_before(device: Device, seq: int) -> CommandRecord:
    record = CommandRecord.objects.filter(device=device, seq=seq).first()
    return (
        record or Redelivery.objects.select_related("command").get(device=device, seq=seq).command
    )


def _moved(known: CommandRecord, practice: Practice, device: Device, envelope: Envelope) -> Receipt:
    """A command that came under another number: the same person's outbox, moved to this device, or
    sent again whole to a server that was restored."""
    if known.staff_id != device.staff_id:
        raise DeviceCloned
    receipt = _stored(known, practice, envelope)
    Redelivery.objects.create(device=device, seq=envelope.seq, command=known)
    return receipt


def _stored(known: CommandRecord, practice: Practice, envelope: Envelope) -> Receipt:
    """The receipt of a command that came before; its number alone may be another one now."""
    first_sent = envelope.model_copy(update={"seq": known.seq})
    if bytes(known.fingerprint) != fingerprint(practice, first_sent):
        raise DeviceCloned
    stored = Receipt.model_validate(known.receipt)
    return stored.model_copy(update={"status": "already_applied", "seq": envelope.seq})
