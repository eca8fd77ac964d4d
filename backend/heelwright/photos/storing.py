"""The parts of pictures in the storage that is set up: written sealed, read back, taken away.

What is written to the storage is sealed before, in memory; no part is ever there in the open, in a
temporary file either. Everything there has a row that names it.
"""

from collections.abc import Callable
from datetime import datetime
from typing import TypeVar

from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.db import IntegrityError, transaction
from django.db.models import QuerySet

from heelwright.declarations import Refused
from heelwright.photos.models import Photo, PhotoPart
from heelwright.photos.sealing import open_part, seal_part
from heelwright.vault.errors import SealBroken

STORAGE = "photos"
Got = TypeVar("Got")


class StorageAway(Refused):
    """503: the storage of photos takes or gives nothing now."""

    def __init__(self) -> None:
        super().__init__(
            "storage_away",
            "Photos can't be stored or fetched just now.",
            "Try again later. If it lasts, tell whoever looks after the server.",
        )


def keep_part(photo: Photo, number: int, plain: bytes, now: datetime) -> None:
    """Store one part. Where it is here already, nothing changes."""
    if photo.stored.filter(number=number, stored_at__isnull=False).exists():
        return
    part = PhotoPart.objects.create(photo=photo, number=number, begun_at=now)
    sealed = seal_part(photo.key, photo.pk, number, plain)
    _asked(lambda: storages[STORAGE].save(part.place, ContentFile(sealed)))
    try:
        with transaction.atomic():
            # Nothing, where it was swept or the photo removed meanwhile.
            mine = PhotoPart.objects.filter(pk=part.pk, photo__removed_at=None)
            stored = mine.update(stored_at=now)
    except IntegrityError:  # the same part came twice at once, and the other one was faster
        stored = 0
    if not stored:
        _destroy(part)


def numbers_here(photo: Photo) -> list[int]:
    """Which parts are stored."""
    here = photo.stored.filter(stored_at__isnull=False)
    return list(here.order_by("number").values_list("number", flat=True))


def picture(photo: Photo) -> bytes:
    """The whole picture, in memory: it is small by rule. Raises StorageAway where a part is not
    there or does not open."""
    here = photo.stored.filter(stored_at__isnull=False).order_by("number")
    return b"".join(_opened(photo, part) for part in here)


def drop_parts(parts: QuerySet[PhotoPart]) -> int:
    """Take parts out of the storage, then forget them; what fails is left for the sweep. Returns
    how many are gone."""
    gone = 0
    for part in parts:
        try:
            _destroy(part)
        except StorageAway:
            continue
        gone += 1
    return gone


def _destroy(part: PhotoPart) -> None:
    _asked(lambda: storages[STORAGE].delete(part.place))
    PhotoPart.objects.filter(pk=part.pk).delete()


def _opened(photo: Photo, part: PhotoPart) -> bytes:
    def read() -> bytes:
        with storages[STORAGE].open(part.place) as file:
            return bytes(file.read())

    try:
        return open_part(photo.key, photo.pk, part.number, _asked(read))
    except SealBroken:
        raise StorageAway from None


def _asked(work: Callable[[], Got]) -> Got:
    try:
        return work()
    except Exception as trouble:
        raise StorageAway from trouble
