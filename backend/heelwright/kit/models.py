"""The kit: its things, what each set went through, and on whom it was used.

Nothing here is changed once it is told, but for a thing's card. Times are as they count: never
after the server had them.
"""

from uuid import UUID

from django.db import models

from heelwright.intake.evidence_record import ClientRecord
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Thing(SealedModel):
    """A thing with a label: a set of instruments (or a single one, a set of one), a disinfectant
    product, a lot of single-use items, or a machine. `card` is in the shape of its kind."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    kind = models.CharField(max_length=16)
    label = models.CharField(max_length=16)
    card = SealedField(dict)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice", "label"], name="one_thing_per_label")
        ]


class Told(SealedModel):
    """What a member of staff told of the practice's kit."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    received_at = models.DateTimeField()
    note = SealedField(str, default="")

    class Meta:
        abstract = True

    def seal_subject(self) -> UUID:
        return self.practice_id


class Solution(Told):
    """A disinfectant that was mixed. Strengths in ppm and per cent of the label, volume in ml."""

    product = models.ForeignKey(Thing, on_delete=models.PROTECT, related_name="+")
    stock_percent = models.FloatField()
    target_ppm = models.FloatField()
    volume_ml = models.FloatField()
    mixed_at = models.DateTimeField()
    keeps_until = models.DateTimeField()
    thrown_away_at = models.DateTimeField(null=True, default=None)


class Load(Told):
    """One cycle: of a machine by a process of the book, or in a disinfectant.

    `asked` is what it must reach, as `rules.loads.Asked`, by the book and the card of the time;
    None where the process is not known. `faults` were there when it began. What it was done with
    is null where the server does not have it. `told_at` is when its start was told, by the clock of
    the phone; `phone_at` is its start by that clock, also where it is ahead. Each is None of those
    that were told before it was kept.
    """

    process = models.CharField(max_length=60, blank=True)
    machine = models.ForeignKey(Thing, on_delete=models.PROTECT, null=True, related_name="+")
    product = models.ForeignKey(Thing, on_delete=models.PROTECT, null=True, related_name="+")
    solution = models.ForeignKey(Solution, on_delete=models.PROTECT, null=True, related_name="+")
    asked = models.JSONField(null=True)
    faults = models.JSONField(default=list)
    started_at = models.DateTimeField()
    told_at = models.DateTimeField(null=True)
    phone_at = models.DateTimeField(null=True)
    device = models.ForeignKey(Device, on_delete=models.PROTECT, related_name="+")
    rulebook = models.CharField(max_length=64)

    class Meta:
        indexes = [models.Index(fields=["machine", "started_at"], name="loads_of_machine")]


class LoadEnd(Told):
    """How somebody says that a cycle ended, as `rules.loads.End`. Two may say so."""

    load = models.ForeignKey(Load, on_delete=models.PROTECT, related_name="ends")
    ended_at = models.DateTimeField()
    ran_minutes = models.FloatField()
    held_minutes = models.FloatField(null=True)
    celsius = models.FloatField(null=True)
    indicator = models.CharField(max_length=16)
    interrupted = models.BooleanField()


class Step(Told):
    """Something that happened to a set, as `rules.standing.Step`."""

    thing = models.ForeignKey(Thing, on_delete=models.PROTECT, related_name="steps")
    what = models.CharField(max_length=16)
    at = models.DateTimeField()
    load = models.ForeignKey(Load, on_delete=models.PROTECT, null=True, related_name="steps")
    end = models.UUIDField(null=True)

    class Meta:
        indexes = [models.Index(fields=["thing", "at"], name="steps_of_thing")]


class Follows(models.Model):
    """That a step came after another, which may reach the server later or never."""

    step = models.ForeignKey(Step, on_delete=models.CASCADE, related_name="follows")
    before = models.UUIDField(db_index=True)


class MachineCheck(Told):
    """One check of a machine, as `rules.recalls.Check`. `tested_at` is when the machine was tested,
    `read_at` when the result was read."""

    machine = models.ForeignKey(Thing, on_delete=models.PROTECT, related_name="checks")
    kind = models.CharField(max_length=60)
    tested_at = models.DateTimeField()
    read_at = models.DateTimeField()
    passed = models.BooleanField()
    reaches_back = models.BooleanField()


class StockChange(Told):
    """More or fewer of a lot than before, other than by use: bought, counted anew, thrown away."""

    lot = models.ForeignKey(Thing, on_delete=models.PROTECT, related_name="stock_changes")
    by = models.IntegerField()
    at = models.DateTimeField()


class Checklist(Told):
    """A list that was gone through and signed. `items` are {item of the book: what was found}."""

    occasion = models.CharField(max_length=60)
    items = models.JSONField()
    signed_at = models.DateTimeField()
    rulebook = models.CharField(max_length=64)


class Use(ClientRecord):
    """That something of the kit was used on a client: a set with the step by which it was, a number
    of a lot, or a product with the solution that was mixed of it.

    `thing` and `visit_ref` are ids, which the server may not have. `loads` are the cycles that the
    set came from. `flags` say why it should not have been used so.
    """

    visit_ref = models.UUIDField()
    thing = models.UUIDField(db_index=True)
    step = models.OneToOneField(Step, on_delete=models.PROTECT, null=True, related_name="use")
    solution = models.ForeignKey(Solution, on_delete=models.PROTECT, null=True, related_name="+")
    count = models.PositiveIntegerField(default=1)
    used_at = models.DateTimeField()
    loads = models.ManyToManyField(Load, related_name="uses")
    flags = models.JSONField(default=list)

    class Meta:
        indexes = [models.Index(fields=["client", "visit_ref"], name="uses_of_client")]
