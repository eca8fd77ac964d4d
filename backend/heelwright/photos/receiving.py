"""Takes the parts of a picture as a phone sends them, in any order and any number of times, and
says when the whole is here."""

import hashlib
from base64 import b64encode
from datetime import datetime
from uuid import UUID

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.commandlog.history import writing
from heelwright.declarations import Power, Refused
from heelwright.photos.models import Photo
from heelwright.photos.rules import part_length
from heelwright.photos.storing import drop_parts, keep_part, numbers_here, picture
from heelwright.tenancy.models import Device


class PhotoDiffers(Refused):
    """422: what came is not the picture that was told of."""

    def __init__(self) -> None:
        super().__init__(
            "photo_differs",
            "The picture is not the one that was recorded.",
            "Nothing of it was kept. Send it again from the phone that took it.",
            field="sha256",
        )


class PartTooLarge(Refused):
    """413: more than a part may have."""

    def __init__(self) -> None:
        super().__init__(
            "too_large", "That is more than one part of a photo.", "Send it in smaller parts."
        )


def sent_by(device: Device, photo_id: UUID) -> Photo:
    """A photo that the person of this device has recorded: nobody else has its picture."""
    photo = Photo.objects.filter(staff=device.staff_id, pk=photo_id).first()
    if photo is None:
        raise Refused(
            "not_found", "This photo was not found.", "Send its record first.", field="photo"
        )
    if photo.removed_at is not None:
        raise Refused("photo_removed", "This photo was removed.", "Nothing needs doing.", "photo")
    return photo


def take_part(photo: Photo, number: int, plain: bytes, told: str, now: datetime) -> None:
    """One part, with `told` as its Content-Digest (RFC 9530). Raises Refused where it is not as it
    must be; nothing of it is kept then."""
    length = part_length(photo.size, number)
    if not length:
        raise Refused(
            "no_such_part", "This photo has no such part.", "Count its parts from 1.", "number"
        )
    if told != content_digest(plain):
        raise Refused(
            "part_damaged",
            "This part did not arrive as it was sent.",
            "Send it again, with its SHA-256 in Content-Digest.",
            field="Content-Digest",
        )
    if len(plain) != length:
        raise Refused(
            "part_length",
            f"This part has {length} bytes by what was recorded, and {len(plain)} came.",
            "Send the photo that was recorded, in parts of the size that all have.",
            field="number",
        )
    if photo.arrived_at is None:
        keep_part(photo, number, plain, now)


def content_digest(content: bytes) -> str:
    """RFC 9530 section 2, by SHA-256: the value of the Content-Digest field."""
    return f"sha-256=:{b64encode(hashlib.sha256(content).digest()).decode()}:"


def check_whole(device: Device, photo: Photo, now: datetime) -> None:
    """Once all parts are here: whether they make the picture that was recorded. Raises PhotoDiffers
    where not, and keeps none of them."""
    if photo.arrived_at is not None:
        return
    if len(numbers_here(photo)) < photo.parts:
        raise Refused(
            "parts_missing",
            "Parts of this photo are missing.",
            "Ask which are here, and send the others.",
            field="photo",
        )
    if hashlib.sha256(picture(photo)).digest() != photo.sha256:
        drop_parts(photo.stored.all())
        raise PhotoDiffers
    _arrived(device, photo, now)


def _arrived(device: Device, photo: Photo, now: datetime) -> None:
    with writing(now, pk=photo.practice_id) as practice, vault.unit():
        fresh = Photo.objects.get(pk=photo.pk)
        if fresh.arrived_at is not None or fresh.removed_at is not None:
            return
        fresh.arrived_at = now
        act = Act(practice, device.staff, device, Power.REPORT, made_at=now, now=now)
        act.put(fresh)
