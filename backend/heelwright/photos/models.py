"""Photos: what each one is of, and the sealed parts in which it lies in the storage."""

from uuid import uuid4

from django.db import models

from heelwright.intake.evidence_record import ClientRecord
from heelwright.photos.rules import parts_of
from heelwright.tenancy.models import Staff
from heelwright.vault.fields import SealedField


class Photo(ClientRecord):
    """One photo of a client, told before its picture is sent.

    `key` opens the picture's parts. It lies here, sealed under the client's key, so that the parts
    need no new seal where two cards become one, and none of them opens once it is gone. `size` is
    in bytes, `sha256` of the whole picture. `arrived_at` is when all of it was here and fitted.
    `without_consent`: of the body, and taken while no consent to photos stood.
    """

    purpose = SealedField(str)
    about = models.UUIDField(null=True)
    foot = SealedField(str, default="")
    view = SealedField(str, default="")
    taken_at = models.DateTimeField()
    sha256 = SealedField(bytes)
    size = models.PositiveIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    key = SealedField(bytes)
    without_consent = models.BooleanField(default=False)
    arrived_at = models.DateTimeField(null=True, default=None)
    removed_at = models.DateTimeField(null=True, default=None)
    removed_by = models.ForeignKey(Staff, on_delete=models.PROTECT, null=True, related_name="+")
    removed_reason = SealedField(str, default="")

    class Meta:
        indexes = [models.Index(fields=["client", "taken_at"], name="photos_of_client")]

    @property
    def parts(self) -> int:
        return parts_of(self.size)


class PhotoPart(models.Model):
    """A part of a picture, sealed. Its id, random in full, is its name in the storage and tells
    nothing, not even when.

    The row is there before the storage is written, so that nothing lies there unknown;
    `stored_at` is null until it is.
    """

    id = models.UUIDField(primary_key=True, default=uuid4)
    photo = models.ForeignKey(Photo, on_delete=models.CASCADE, related_name="stored")
    number = models.PositiveSmallIntegerField()
    begun_at = models.DateTimeField()
    stored_at = models.DateTimeField(null=True, default=None)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["photo", "number"],
                condition=models.Q(stored_at__isnull=False),
                name="each_part_once",
            )
        ]
        indexes = [models.Index(fields=["begun_at"], name="photo_parts_by_age")]

    @property
    def place(self) -> str:
        """Its name in the storage."""
        return f"{self.pk.hex[:2]}/{self.pk.hex}"
