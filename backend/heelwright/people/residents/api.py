"""Reading a file of residents: what it would change, written nowhere."""

from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from ninja import Router
from pydantic import BaseModel, Field

from heelwright import clock, vault
from heelwright.commandlog.models import Access
from heelwright.commandlog.permissions import check_command
from heelwright.commandlog.protocol import Encoded, Spoken
from heelwright.declarations import Refused, Role
from heelwright.people.models import Client, Facility
from heelwright.people.residents.columns import FIELD
from heelwright.people.residents.comparing import There
from heelwright.people.residents.report import ORDER_OF_PLACE, Report, report
from heelwright.people.residents.table import MOST_BYTES
from heelwright.people.rules import away
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceToken, speaker

router = Router(auth=DeviceToken(), tags=["people"])


class ResidentsFile(Spoken):
    """`file` in base64."""

    device: UUID
    facility: UUID
    # Measured before it is decoded: four letters for every three bytes.
    file: Encoded = Field(max_length=MOST_BYTES * 4 // 3 + 4)


class NoList(BaseModel):
    """Why a file can't be read at all."""

    code: str
    text: str
    remedy: str


class FileRead(BaseModel):
    """One of the two."""

    report: Report | None = None
    no_list: NoList | None = None


@router.post("/residents/read", response=FileRead)
def read_residents(request: HttpRequest, asked: ResidentsFile) -> FileRead:
    """What a file would change about a facility's residents, line by line. Writes nothing."""
    device = speaker(request, asked.device)
    check_command("import_residents", Role(device.staff.role), {})
    today = clock.now().astimezone(ZoneInfo(device.practice.zone)).date()
    otherwise = ORDER_OF_PLACE.get(device.practice.place, "day_first")
    with vault.unit():
        there = _there(device, asked.facility)
        try:
            return FileRead(report=report(asked.file, there, today, otherwise))
        except Refused as no:
            return FileRead(no_list=NoList(code=no.code, text=no.text, remedy=no.remedy))


def _there(device: Device, facility: UUID) -> list[There]:
    theirs = Access.objects.filter(staff=device.staff, scope=facility, until=None)
    if not (
        Facility.objects.filter(practice=device.practice, pk=facility).exists()
        and (device.staff.role == Role.OWNER or theirs.exists())
    ):
        raise Refused("not_found", "This facility was not found.", "Sync, look again.", "facility")
    living = Client.objects.filter(practice=device.practice, facility=facility, merged_into=None)
    clients = list(living.order_by("pk"))
    vault.prefetch(client.pk for client in clients)
    fields = sorted(set(FIELD.values()) - {"given", "family"})
    return [
        There(c.pk, {f: getattr(c, f) or _EMPTY.get(f, "") for f in fields}, away(c))
        for c in clients
    ]


_EMPTY = {"see_last": False}
