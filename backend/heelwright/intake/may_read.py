"""Who may have a paper or a picture of a client, and how a day is written on papers."""

from datetime import date, datetime
from uuid import UUID

from heelwright.commandlog.models import Access
from heelwright.commandlog.permissions import may_see
from heelwright.declarations import Role
from heelwright.tenancy.models import Device


def may_read(reader: Device, client: UUID, kind: str) -> bool:
    """Whether somebody may see rows of a kind, and those of this client."""
    role = Role(reader.staff.role)
    if not may_see(kind, role):
        return False
    if role is Role.OWNER:
        return True
    return Access.objects.filter(staff=reader.staff, scope=client, until=None).exists()


def day_of(day: date | datetime, after: str = "") -> str:
    return f"{day.day} {day:%B %Y}{after}"


def minute_of(moment: datetime) -> str:
    """In the zone that it is in."""
    return day_of(moment, f", {moment:%H:%M}")
