"""For which moment a visit's start is judged, when a phone's clock may be wrong.

docs/decisions/0096-as-it-stood.md says why.
"""

from datetime import datetime

from django.db.models import Max

from heelwright.commandlog.act import Act
from heelwright.commandlog.device_clock import SLACK
from heelwright.commandlog.models import CommandRecord


def moment_of_start(act: Act, claimed: datetime) -> datetime:
    """The claimed moment, so that what began without signal is judged as it stood then.

    Not before what the same phone has recorded before it; and now, where the claim lies ahead or is
    shown to be too early.
    """
    assert act.record is not None  # noqa: S101 - only a founding has none, and that is no visit
    before = CommandRecord.objects.filter(device=act.device, seq__lt=act.record.seq)
    made = before.filter(received_at__gt=claimed).aggregate(last=Max("made_at"))["last"]
    moment = max(claimed, made) if made else claimed
    return act.now if moment > act.now or _spoke_since(act, claimed) else moment


def _spoke_since(act: Act, claimed: datetime) -> bool:
    """Whether the server has heard from the phone since, without hearing of this visit.

    A phone sends all that waits, so what it had not sent then, it had not done yet: its clock is
    behind. The last minutes do not count: a long outbox comes in several deliveries.
    """
    earlier = CommandRecord.objects.filter(device=act.device, received_at__lt=act.now - SLACK)
    last = earlier.order_by("-seq").first()
    return last is not None and last.received_at > claimed + SLACK
