"""For which moment a visit's start is judged, when a phone's clock may be wrong.

docs/decisions/0096-as-it-stood.md says why.
"""

from datetime import datetime

from django.db.models import Max

from heelwright.commandlog.contact import reaches_back_to
from heelwright.commandlog.models import CommandRecord


def moment_of_start(told_by: CommandRecord, claimed: datetime) -> datetime:
    """The claimed moment, so that what began without signal is judged as it stood then.

    Not before what the same phone has recorded before it; and when the server got the command,
    where the claim lies ahead, or before what that phone can tell of as news: its clock is behind.
    """
    before = CommandRecord.objects.filter(device=told_by.device_id, seq__lt=told_by.seq)
    made = before.filter(received_at__gt=claimed).aggregate(last=Max("made_at"))["last"]
    moment = max(claimed, made) if made else claimed
    received = told_by.received_at
    too_early = claimed < reaches_back_to(told_by)
    return received if moment > received or too_early else moment
