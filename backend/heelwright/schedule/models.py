"""Bookings: who visits whom, when."""

from uuid import UUID

from django.db import models

from heelwright.people.models import Client
from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Booking(SealedModel):
    """A visit that is planned. `state` is booked, cancelled or done."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    place = models.CharField(max_length=16)
    state = models.CharField(max_length=16, default="booked")
    cancel_reason = SealedField(str, default="")

    class Meta:
        indexes = [models.Index(fields=["staff", "starts_at"], name="booking_by_day")]

    def seal_subject(self) -> UUID:
        return self.client_id
