"""Vehicles, and the days on which they were driven."""

from uuid import UUID

from django.db import models

from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Vehicle(SealedModel):
    """What a member of staff drives for work. `unit` is what its odometer counts; all distances of
    its days are in tenths of it, so neither it nor `kind` ever changes."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=16)
    unit = models.CharField(max_length=8)
    name = SealedField(str)
    plate = SealedField(str, default="")
    given_up = models.BooleanField(default=False)

    def seal_subject(self) -> UUID:
        return self.practice_id


class TravelDay(SealedModel):
    """What somebody says that they drove on a day. Never changed: a correction is another one, and
    `replaces` the ids of those that it corrects.

    `legs` are in the shape of `arguments.Leg`. They may name a client's address, never a client.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="days")
    day = models.DateField()
    odometer_start = models.PositiveIntegerField(null=True)
    odometer_end = models.PositiveIntegerField(null=True)
    legs = SealedField(list)
    note = SealedField(str, default="")
    replaces = models.JSONField(default=list)
    told_at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["staff", "day"], name="travel_by_day")]

    def seal_subject(self) -> UUID:
        return self.practice_id
