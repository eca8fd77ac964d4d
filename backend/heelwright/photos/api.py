"""Pictures over HTTP: sent in parts, fetched whole."""

from uuid import UUID

from django.http import HttpRequest, HttpResponse
from ninja import Router, Schema

from heelwright import clock, vault
from heelwright.declarations import Refused, Role
from heelwright.intake.may_read import may_read
from heelwright.photos.models import Photo
from heelwright.photos.receiving import PartTooLarge, check_whole, sent_by, take_part
from heelwright.photos.rules import PART_BYTES
from heelwright.photos.storing import numbers_here, picture
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeliveryToken, DeviceToken

router = Router(auth=DeliveryToken(), tags=["photos"])


class PhotoParts(Schema):
    """Which parts of a photo are here, out of how many; `arrived`: the whole is, and fits."""

    photo: UUID
    parts: list[int]
    of: int
    arrived: bool


@router.get("/{photo}/parts", response=PhotoParts)
def get_parts(request: HttpRequest, photo: UUID) -> PhotoParts:
    """Where to go on after a cut line."""
    return _parts(sent_by(_device(request), photo))


@router.put("/{photo}/parts/{number}", response=PhotoParts)
def put_part(request: HttpRequest, photo: UUID, number: int) -> PhotoParts:
    """One part as it is: the body, with its digest in Content-Digest. Twice is once."""
    told = request.META.get("CONTENT_LENGTH") or "0"
    if not told.isdecimal() or int(told) > PART_BYTES:
        raise PartTooLarge
    with vault.unit():
        known = sent_by(_device(request), photo)
        digest = request.headers.get("Content-Digest", "")
        take_part(known, number, request.body, digest, clock.now())
        return _parts(known)


@router.post("/{photo}/whole", response=PhotoParts)
def post_whole(request: HttpRequest, photo: UUID) -> PhotoParts:
    """All parts were sent: they are put together and checked. Twice is once."""
    device = _device(request)
    with vault.unit():
        check_whole(device, sent_by(device, photo), clock.now())
        return _parts(sent_by(device, photo))


@router.get("/{photo}", auth=DeviceToken())
def get_photo(request: HttpRequest, photo: UUID) -> HttpResponse:
    """The picture, for whoever may see the client; one taken without consent for owners alone."""
    device = _device(request)
    known = Photo.objects.filter(practice=device.practice_id, pk=photo).first()
    if known is None or not _may_see(device, known):
        raise Refused("not_found", "This photo was not found.", "Sync, look again.", "photo")
    if known.removed_at is not None or known.arrived_at is None:
        raise Refused(
            "no_picture",
            "There is no picture here for this photo.",
            "It was removed, or it has not arrived yet. Sync, look again.",
            field="photo",
        )
    with vault.unit():
        return HttpResponse(picture(known), content_type="image/jpeg")


def _may_see(reader: Device, photo: Photo) -> bool:
    if photo.without_consent and Role(reader.staff.role) is not Role.OWNER:
        return False
    return may_read(reader, photo.client_id, "photo")


def _device(request: HttpRequest) -> Device:
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    return device


def _parts(photo: Photo) -> PhotoParts:
    arrived = photo.arrived_at is not None
    here = list(range(1, photo.parts + 1)) if arrived else numbers_here(photo)
    return PhotoParts(photo=photo.pk, parts=here, of=photo.parts, arrived=arrived)
