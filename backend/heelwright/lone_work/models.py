"""Watches over somebody who works alone, and the papers by which they may."""

from uuid import UUID

from django.db import models

from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Watch(SealedModel):
    """Somebody is expected back by a time. Where they do not say that they are, the person named
    here is told. It names no client and no place.

    `alarm` is none, sending, told or failed; `all_clear`, the word that they came back after all,
    may be due as well. `alarm_at` is when either was last sent.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    began_at = models.DateTimeField()
    back_by = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    reach_at = SealedField(str, default="")
    tell_name = SealedField(str)
    tell_email = SealedField(str)
    alarm = models.CharField(max_length=8, default="none")
    alarm_at = models.DateTimeField(null=True)
    all_clear = models.CharField(max_length=8, default="none")

    class Meta:
        indexes = [models.Index(fields=["ended_at", "back_by"], name="watch_by_time")]

    def seal_subject(self) -> UUID:
        return self.practice_id


class Paper(SealedModel):
    """A licence, an insurance or a first-aid certificate of a member of staff."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(max_length=16)
    name = SealedField(str)
    number = SealedField(str, default="")
    expires_on = models.DateField(null=True)

    def seal_subject(self) -> UUID:
        return self.practice_id
