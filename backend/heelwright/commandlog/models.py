"""The log of every command, the change feed, who has access to what, and what the owner must look
at."""

from uuid import UUID

from django.db import models

from heelwright.ids import new_id
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class CommandRecord(models.Model):
    """One command, once. `fingerprint` is a keyed digest of its content, to tell a retry from a
    clone. `heard_at` is when the newest was written that the device had fetched when it sent this.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    device = models.ForeignKey(Device, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT)
    seq = models.BigIntegerField()
    name = models.CharField(max_length=60)
    made_at = models.DateTimeField()
    received_at = models.DateTimeField()
    heard_at = models.DateTimeField(null=True, default=None)
    rulebook = models.CharField(max_length=64)
    fingerprint = models.BinaryField(max_length=32)
    status = models.CharField(max_length=16)
    refusal_code = models.CharField(max_length=60, blank=True, default="")
    receipt = models.JSONField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["device", "seq"], name="one_command_per_device_seq")
        ]


class Redelivery(models.Model):
    """A command that came again under another number, of this device or another of the same person.

    It takes that number of the device, and has the receipt that it got the first time.
    """

    device = models.ForeignKey(Device, on_delete=models.PROTECT)
    seq = models.BigIntegerField()
    command = models.ForeignKey(CommandRecord, on_delete=models.PROTECT)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["device", "seq"], name="one_redelivery_per_device_seq")
        ]


class LoggedArgs(SealedModel):
    """A command's arguments, sealed under the key of whom they are about, so that a purge covers
    the log. Of a command about several clients each has a part of its own."""

    id = models.UUIDField(primary_key=True, default=new_id)
    command = models.ForeignKey(CommandRecord, on_delete=models.CASCADE, related_name="args")
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    subject = models.UUIDField()
    sealed = SealedField(dict)

    class Meta:
        indexes = [models.Index(fields=["subject"], name="log_by_subject")]

    def seal_subject(self) -> UUID:
        return self.subject


class FeedRow(models.Model):
    """The newest change of one row. A row has one entry, which moves to the newest number.

    `device` made that change: what a device did itself is never news to it. Of a row that was
    removed at `gone_at` the entry alone is left, so that devices remove it too.
    """

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    kind = models.CharField(max_length=32)
    row_id = models.UUIDField()
    scope = models.UUIDField()
    seq = models.BigIntegerField()
    device = models.ForeignKey(Device, on_delete=models.PROTECT)
    gone_at = models.DateTimeField(null=True, default=None)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice", "seq"], name="one_change_per_number"),
            models.UniqueConstraint(
                fields=["practice", "kind", "row_id"], name="one_entry_per_row"
            ),
        ]
        indexes = [
            models.Index(fields=["practice", "scope", "seq"], name="feed_by_scope"),
            models.Index(
                fields=["practice", "gone_at"],
                condition=models.Q(gone_at__isnull=False),
                name="feed_removed",
            ),
        ]


class FeedMark(models.Model):
    """The random mark of each transaction that moved a practice's feed, at its last number.

    A cursor with a pair of number and mark that is not here comes from a history that was lost:
    the server was restored from a backup taken before.
    """

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    seq = models.BigIntegerField()
    mark = models.UUIDField()
    made_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice", "seq"], name="one_mark_per_number")
        ]
        indexes = [models.Index(fields=["practice", "made_at"], name="feed_marks_by_age")]


class Access(models.Model):
    """Who may see a scope. `since` and `until` are feed numbers, so that a pull can tell what is
    new; `closed_at` is when it was taken.

    A scope is the id of a client, a facility, a member of staff, or the practice.
    """

    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.CASCADE, related_name="access")
    scope = models.UUIDField()
    since = models.BigIntegerField()
    until = models.BigIntegerField(null=True, default=None)
    closed_at = models.DateTimeField(null=True, default=None)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["staff", "scope"], name="one_access_per_scope")
        ]
        indexes = [
            models.Index(fields=["staff", "since"], name="access_given"),
            models.Index(fields=["staff", "until"], name="access_taken"),
            models.Index(fields=["scope"], name="access_by_scope"),
        ]


class Incident(SealedModel):
    """Something that was reported and should not have happened, or that the owner must know.

    Kept until a person has looked at it and said so. `code` is a word from a fixed list without
    health meaning; the reasons are sealed. It goes to the technician it concerns and to the owners,
    or to those alone where it tells of what the technician may not see.
    """

    id = models.UUIDField(primary_key=True, default=new_id)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT)
    command = models.ForeignKey(CommandRecord, on_delete=models.PROTECT, null=True)
    client_ref = models.UUIDField(null=True)
    about = models.CharField(max_length=32)
    about_id = models.UUIDField()
    code = models.CharField(max_length=60)
    raised_at = models.DateTimeField()
    reasons = SealedField(list)
    closed_at = models.DateTimeField(null=True, default=None)
    closed_by = models.ForeignKey(Staff, on_delete=models.PROTECT, null=True, related_name="+")
    closing_note = SealedField(str, default="")
    owners_only = models.BooleanField(default=False)

    def seal_subject(self) -> UUID:
        return self.client_ref or self.practice.pk
