"""When the server last heard from a phone, and so how far back what it tells now can lie.

A phone sends all that waits, and fetches only then: what it had not sent at its last contact, it
did after that, whatever its clock says. For one that had no signal, that contact is as long ago as
the signal was.
"""

from collections.abc import Collection
from datetime import datetime
from uuid import UUID

from django.db.models import OuterRef, Subquery

from heelwright.commandlog.device_clock import SLACK
from heelwright.commandlog.models import CommandRecord
from heelwright.tenancy.models import Device


def fetched_at(
    device: Device, heard_of: datetime | None, sent: Collection[UUID]
) -> datetime | None:
    """When the newest was written that a device has fetched before the delivery that it sends.

    `heard_of` is when that was written which it names. It has that from an answer to a delivery, or
    has fetched since the last one. Where it sends what was known (`sent` are its commands' ids), or
    did so last, it tells a server that was restored all again, and its work is older than that.
    """
    last = CommandRecord.objects.filter(device=device).order_by("-seq").first()
    before = last.heard_at if last else None
    if heard_of is None or heard_of <= (last.received_at if last else device.enrolled_at):
        return before
    came_again = device.last_seq != (last.seq if last else 0)
    if came_again or CommandRecord.objects.filter(pk__in=sent).exists():
        return before
    return heard_of


def last_contact(record: CommandRecord) -> datetime | None:
    """When the server heard from the phone before it got this command; None where it never had.

    The last minutes do not count: a long outbox comes in several deliveries.
    """
    earlier = CommandRecord.objects.filter(
        device=record.device_id, received_at__lt=record.received_at - SLACK
    )
    last = earlier.order_by("-seq").first()
    known = (last.received_at if last else None, record.heard_at)
    return max((moment for moment in known if moment is not None), default=None)


def reaches_back_to(record: CommandRecord) -> datetime:
    """The earliest moment that a command can tell of as news.

    A phone that was signed in anew may have brought the outbox of any phone of its person along.
    """
    contact = last_contact(record)
    return (_longest_ago(record) if contact is None else contact) - SLACK


def _longest_ago(record: CommandRecord) -> datetime:
    """Of the phones whose outbox can still come: one that was shut out for good has none. The phone
    of a client has been told of nothing before its link was made, and brings along no other."""
    if not record.device.is_of_staff:
        return record.device.enrolled_at
    spoken = CommandRecord.objects.filter(
        device=OuterRef("pk"), received_at__lt=record.received_at - SLACK
    )
    newest = Subquery(spoken.order_by("-seq").values("received_at")[:1])
    phones = Device.objects.filter(staff=record.staff_id, answers_until=None).select_related(
        "staff"
    )
    return min(
        phone.spoke_at or phone.enrolled_at
        for phone in phones.annotate(spoke_at=newest)
        if phone.pk == record.device_id or phone.may_deliver(record.received_at)
    )
