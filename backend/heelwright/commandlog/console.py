"""Acts of the server itself, where no command is carried out."""

from datetime import datetime

from heelwright.commandlog.act import Act
from heelwright.declarations import Power
from heelwright.tenancy.models import Device, Practice


def by_console(practice: Practice, now: datetime) -> Act:
    """It speaks by the owner's console, the first device of a practice, which must be locked."""
    console = Device.objects.filter(practice=practice).earliest("enrolled_at")
    return Act(practice, console.staff, console, Power.PERMISSION, made_at=now, now=now)
