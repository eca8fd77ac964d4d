"""Visits: what was planned to be allowed, what was done, and what went wrong."""

from django.db import models

from heelwright.intake.evidence_record import ClientRecord
from heelwright.intake.models import Consent, FootCheck, HealthScreen
from heelwright.schedule.models import Booking
from heelwright.vault.fields import SealedField


class Visit(ClientRecord):
    """One visit. `state` is started, completed, ended_early or under_review.

    `judged_at` is the moment for which it is decided whether it might be made: its start, as far
    as the phone's clock is believed. `record` is what the technician wrote, in the form of the
    command that reported it. What a report names and the server does not have (a booking that was
    refused, a screen of somebody else) is null.
    """

    booking = models.ForeignKey(Booking, on_delete=models.PROTECT, null=True)
    screen = models.ForeignKey(HealthScreen, on_delete=models.PROTECT, null=True)
    foot_check = models.ForeignKey(FootCheck, on_delete=models.PROTECT, null=True)
    consent = models.ForeignKey(Consent, on_delete=models.PROTECT, null=True)
    state = models.CharField(max_length=16)
    started_at = models.DateTimeField()
    judged_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, default=None)
    record = SealedField(dict, default=dict)

    class Meta:
        indexes = [
            models.Index(fields=["client", "judged_at"], name="visits_of_client_by_start"),
            models.Index(fields=["client", "ended_at"], name="visits_of_client_by_end"),
        ]


class Mishap(ClientRecord):
    """Something that went wrong, as whoever was there reports it. Append-only: what comes later is
    an entry.

    `visit_ref` is the id of a visit, which may reach the server after this or never.
    """

    visit_ref = models.UUIDField(null=True)
    kind = SealedField(str)
    happened_at = models.DateTimeField()
    what_happened = SealedField(str)
    places = SealedField(list)
    first_aid_given = SealedField(str)
    told = SealedField(list)
    follow_up_on = models.DateField(null=True)
    photo = models.UUIDField(null=True)
    visit_stopped = models.BooleanField(default=False)


class MishapEntry(ClientRecord):
    """What was added to a mishap: whom else somebody told, what came of it, or its closing.

    `number` counts the entries of a mishap from 1, as they reached the server.
    """

    mishap = models.ForeignKey(Mishap, on_delete=models.PROTECT, related_name="entries")
    number = models.PositiveIntegerField()
    added_at = models.DateTimeField()
    note = SealedField(str)
    told = SealedField(list, default=list)
    follow_up_on = models.DateField(null=True, default=None)
    outcome = SealedField(str, default="")
    closes = models.BooleanField(default=False)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["mishap", "number"], name="one_entry_per_number")
        ]
