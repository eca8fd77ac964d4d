"""When the server last heard from a phone, and so how far back what it tells now can lie.

A phone sends all that waits: what it had not sent at its last contact, it did after that, whatever
its clock says. For one that had no signal, that contact is as long ago as the signal was.
"""

from datetime import datetime

from django.db.models import OuterRef, Subquery

from heelwright.commandlog.device_clock import SLACK
from heelwright.commandlog.models import CommandRecord
from heelwright.tenancy.models import Device


def last_contact(record: CommandRecord) -> datetime | None:
    """When the server heard from the phone before it got this command; None where it never had.

    The last minutes do not count: a long outbox comes in several deliveries.
    """
    earlier = CommandRecord.objects.filter(
        device=record.device_id, received_at__lt=record.received_at - SLACK
    )
    last = earlier.order_by("-seq").first()
    return last.received_at if last else None


def reaches_back_to(record: CommandRecord) -> datetime:
    """The earliest moment that a command can tell of as news.

    A phone that was signed in anew may have brought the outbox of any phone of its person along.
    """
    contact = last_contact(record)
    return (_longest_ago(record) if contact is None else contact) - SLACK


def _longest_ago(record: CommandRecord) -> datetime:
    spoken = CommandRecord.objects.filter(
        device=OuterRef("pk"), received_at__lt=record.received_at - SLACK
    )
    newest = Subquery(spoken.order_by("-seq").values("received_at")[:1])
    phones = Device.objects.filter(staff=record.staff_id).annotate(spoke_at=newest)
    return min(phone.spoke_at or phone.enrolled_at for phone in phones)
