"""Enrolling a device, once, by a person who has just signed in."""

from base64 import b64encode
from datetime import datetime
from uuid import UUID

from allauth.headless.contrib.ninja.security import x_session_token_auth
from django.http import HttpRequest
from ninja import Router, Schema
from pydantic import Field

from heelwright import clock, vault
from heelwright.commandlog.act import Act
from heelwright.commandlog.history import Heard, is_lost, writing
from heelwright.commandlog.models import Incident
from heelwright.commandlog.protocol import Encoded, Spoken
from heelwright.commandlog.validation import check_characters
from heelwright.declarations import Power, Refused
from heelwright.tenancy.models import Device, Practice, RecoveryKey, Staff
from heelwright.tenancy.recovery import COPY_BYTES, in_base64, make_pair, opened
from heelwright.tenancy.signin import DeviceToken, NotSignedIn, count_try, new_token, speaker

router = Router()


class NewDevice(Spoken):
    device: UUID
    name: str = Field(min_length=1, max_length=80)
    heard: Heard | None = None


class StaffOut(Schema):
    id: UUID
    name: str
    role: str


class PracticeOut(Schema):
    """`recovery_key` is the public half of the recovery pair: SubjectPublicKeyInfo, DER in
    base64."""

    id: UUID
    name: str
    zone: str
    units: str
    invented: bool
    recovery_key: str


class Enrolled(Schema):
    """`token` is shown this once; `next_seq` is the number of the device's first command; `lost`
    says that the phone has receipts of a history that was lost."""

    token: str
    device: UUID
    staff: StaffOut
    practice: PracticeOut
    next_seq: int
    now: datetime
    lease_seconds: int
    lost: bool


@router.post("/devices", auth=x_session_token_auth, response=Enrolled, tags=["sign-in"])
def enrol_device(request: HttpRequest, new: NewDevice) -> Enrolled:
    """Make this phone known and give it its token."""
    staff: Staff = request.auth  # type: ignore[attr-defined]  # set by the session check
    if not staff.is_active:
        raise NotSignedIn
    check_characters({"name": new.name})
    token, kept = new_token()
    now = clock.now()
    with writing(now, pk=staff.practice_id) as practice:
        lost = is_lost(practice, new.heard)
        device = Device(
            id=new.device,
            practice=practice,
            staff=staff,
            name=new.name,
            token_digest=kept,
            enrolled_at=now,
        )
        act = Act(practice, staff, device, Power.PERMISSION, made_at=now, now=now)
        _announce(act)
        return Enrolled(
            token=token,
            device=device.pk,
            staff=StaffOut(id=staff.pk, name=staff.name, role=staff.role),
            practice=_out(practice, _recovery_key(act)),
            next_seq=1,
            now=now,
            lease_seconds=practice.lease_seconds,
            lost=lost,
        )


def _recovery_key(act: Act) -> str:
    """The first device that needs the practice's pair makes it, and has the others told."""
    kept = RecoveryKey.objects.filter(practice=act.practice).first()
    if kept is None:
        kept = make_pair(act.practice)
        act.announce(act.practice)
    return in_base64(kept)


def _out(practice: Practice, recovery_key: str) -> PracticeOut:
    return PracticeOut(
        id=practice.pk,
        name=practice.name,
        zone=practice.zone,
        units=practice.units,
        invented=practice.invented,
        recovery_key=recovery_key,
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


class Recovery(Spoken):
    """`copy` is what a phone wrapped to the practice's recovery key, in base64."""

    device: UUID
    # Measured before it is decoded: four letters for every three bytes.
    copy_: Encoded = Field(alias="copy", max_length=COPY_BYTES * 4 // 3)


class Recovered(Schema):
    """`key` is what was in the copy, in base64."""

    device: UUID
    key: str


@router.post("/recovery", auth=DeviceToken(), response=Recovered, tags=["sign-in"])
def recover_key(request: HttpRequest, asked: Recovery) -> Recovered:
    """Open a phone's copy of its record key for the person who made it, and tell the owner.

    It opens unsent work whose passphrase was forgotten, once the person has signed in anew. The
    owner is told once for each device that asks, until somebody has looked at it.
    """
    device = speaker(request, asked.device)
    count_try(request, "recover_key", device.staff)
    key = opened(device.staff, asked.copy_)
    now = clock.now()
    with writing(now, pk=device.practice_id) as practice, vault.unit():
        act = Act(practice, device.staff, device, Power.REPORT, made_at=now, now=now)
        told = Incident.objects.filter(code="unsent_work_recovered", about_id=device.pk)
        if not told.filter(closed_at=None).exists():
            act.raise_incident("unsent_work_recovered", device, [device.name])
    return Recovered(device=device.pk, key=b64encode(key).decode())
