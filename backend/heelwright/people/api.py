"""Enrolling a device, once, by a person who has just signed in."""

from uuid import UUID

from allauth.headless.contrib.ninja.security import x_session_token_auth
from django.db import transaction
from django.http import HttpRequest
from ninja import Router, Schema
from pydantic import Field

from heelwright import clock
from heelwright.commandlog.act import Act
from heelwright.commandlog.validation import check_characters
from heelwright.declarations import Power, Refused
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.tenancy.signin import NotSignedIn, new_token

router = Router()


class NewDevice(Schema):
    device: UUID
    name: str = Field(min_length=1, max_length=80)


class StaffOut(Schema):
    id: UUID
    name: str
    role: str


class PracticeOut(Schema):
    id: UUID
    name: str
    zone: str
    units: str
    invented: bool


class Enrolled(Schema):
    """`token` is shown this once; `next_seq` is the number of the device's first command."""

    token: str
    device: UUID
    staff: StaffOut
    practice: PracticeOut
    next_seq: int


@router.post("/devices", auth=x_session_token_auth, response=Enrolled, tags=["sign-in"])
def enrol_device(request: HttpRequest, new: NewDevice) -> Enrolled:
    """Make this phone known and give it its token."""
    staff: Staff = request.auth  # type: ignore[attr-defined]  # set by the session check
    if not staff.is_active:
        raise NotSignedIn
    check_characters({"name": new.name})
    token, kept = new_token()
    now = clock.now()
    with transaction.atomic():
        practice = Practice.objects.select_for_update().get(pk=staff.practice_id)
        device = Device(
            id=new.device,
            practice=practice,
            staff=staff,
            name=new.name,
            token_digest=kept,
            enrolled_at=now,
        )
        _announce(Act(practice, staff, device, Power.PERMISSION, made_at=now, now=now))
    return Enrolled(
        token=token,
        device=device.pk,
        staff=StaffOut(id=staff.pk, name=staff.name, role=staff.role),
        practice=PracticeOut(
            id=practice.pk,
            name=practice.name,
            zone=practice.zone,
            units=practice.units,
            invented=practice.invented,
        ),
        next_seq=1,
    )


def _announce(act: Act) -> None:
    """Put the device on the feed as well: the owner must see it to be able to switch it off."""
    if Device.objects.filter(pk=act.device.pk).exists():
        raise Refused(
            "device_known",
            "This device number is in use already.",
            "Start the sign-in again; the app makes a new number.",
            field="device",
        )
    act.put(act.device)
    act.practice.save(update_fields=["feed_seq"])
