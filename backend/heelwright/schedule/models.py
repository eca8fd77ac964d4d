"""Bookings: who visits whom, when; and when those who make the visits work."""

from typing import Any
from uuid import UUID

from django.db import models

from heelwright.people.models import Client, Facility
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Round(SealedModel):
    """A day of visits in one facility; its stops are the bookings of that day that name it. `state`
    is planned, closed or cancelled. `note` is for those who walk it and for the house."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, related_name="+")
    day = models.DateField()
    state = models.CharField(max_length=16, default="planned")
    note = SealedField(str, default="")

    class Meta:
        indexes = [models.Index(fields=["facility", "day"], name="round_by_day")]

    def seal_subject(self) -> UUID:
        return self.practice_id


class Booking(SealedModel):
    """A visit that is planned. `state` is booked, cancelled, not_seen or done.

    Of one that was cancelled or not seen, `reason` is the code and `cancel_reason` the words.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    starts_at = models.DateTimeField()
    ends_at = models.DateTimeField()
    place = models.CharField(max_length=16)
    service = models.CharField(max_length=40, default="")
    state = models.CharField(max_length=16, default="booked")
    # Null on bookings from before there were codes, which no migration can seal.
    reason = SealedField(str, null=True)
    cancel_reason = SealedField(str, default="")
    series = models.UUIDField(null=True, default=None)
    round = models.UUIDField(null=True, default=None)
    place_in_round = models.PositiveSmallIntegerField(null=True, default=None)

    class Meta:
        indexes = [
            models.Index(fields=["staff", "starts_at"], name="booking_by_day"),
            models.Index(fields=["client", "starts_at"], name="booking_by_client"),
            models.Index(fields=["series"], name="booking_by_series"),
            models.Index(fields=["round"], name="booking_by_round"),
        ]

    def seal_subject(self) -> UUID:
        return self.client_id

    @property
    def minutes(self) -> int:
        return int((self.ends_at - self.starts_at).total_seconds() // 60)


class WorkingWeek(SealedModel):
    """When a technician works, with their id: `days` as `arguments.WorkingDay`, one for each day of
    the week on which they do. `skills` are the practice's own words."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    days = SealedField(list)
    skills = SealedField(list)

    def seal_subject(self) -> UUID:
        return self.practice_id


class Base(SealedModel):
    """Where somebody's days of visits begin and end, with their id; mostly where they live, so it
    is theirs and the owner's alone. `position` is a `places.position.Position`, null once
    forgotten."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    position: SealedField[dict[str, Any] | None, dict[str, Any] | None] = SealedField(
        dict, null=True
    )

    def seal_subject(self) -> UUID:
        return self.practice_id


class ResidentState(SealedModel):
    """What `residents.py` says of a resident to coordinators: `told` as its row. No record of its
    own; made anew from those that are."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    told = SealedField(dict)

    def seal_subject(self) -> UUID:
        return self.client_id


class Waiting(SealedModel):
    """A client who wishes for a visit and has no time yet: `wish` as `arguments.Wish`. `state` is
    waiting or stopped, with the code of the reason. That a visit was booked is told by the
    bookings (decision 0192)."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    since = models.DateTimeField()
    state = models.CharField(max_length=16, default="waiting")
    wish = SealedField(dict)
    note = SealedField(str, default="")
    reason = SealedField(str, default="")

    def seal_subject(self) -> UUID:
        return self.client_id


class TimeOff(SealedModel):
    """Days on which a technician makes no visits; without one, nobody of the practice."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, null=True, related_name="+")
    first = models.DateField()
    last = models.DateField()
    name = SealedField(str, default="")

    class Meta:
        indexes = [models.Index(fields=["practice", "last"], name="time_off_by_day")]

    def seal_subject(self) -> UUID:
        return self.practice_id


class CalendarLink(models.Model):
    """A link by which somebody's calendar app asks when they work; a person has one at most. Of its
    secret only the SHA-256 is here, in hex. One that has ended has no row.

    `fetched_on` is the day, in the practice's zone, on which it was last asked by.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.OneToOneField(Staff, on_delete=models.PROTECT, related_name="+")
    made_from = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    secret_sha256 = models.CharField(max_length=64, unique=True)
    made_at = models.DateTimeField()
    fetched_on = models.DateField(null=True, default=None)
