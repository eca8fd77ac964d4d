"""Clients and facilities. Everything that tells who a client is lies sealed under the client's
key."""

from uuid import UUID

from django.db import models

from heelwright.tenancy.models import Practice
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class Facility(SealedModel):
    """A care home or other place where several clients live.

    `quiet_times` are the hours of the day in which nobody is to be visited, such as meals and rest;
    `corridors` their names in walking order. None on a card from before they were asked.
    `field_versions` is as a client's.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    name = SealedField(str)
    address = SealedField(str, default="")
    phone = SealedField(str, default="")
    # A `places.position.Position`, where it is known.
    position = SealedField(dict, null=True)
    quiet_times = SealedField(list, null=True)
    corridors = SealedField(list, null=True)
    field_versions = models.JSONField(default=dict)

    def seal_subject(self) -> UUID:
        return self.practice_id


class Client(SealedModel):
    """A person whose feet are cared for.

    `field_versions` keeps, for each field of the card, the feed number of its last change and the
    device that made it, so that two people who change different fields do not undo each other.

    A card that turned out to be somebody's second one keeps its id alone: `merged_into` says which
    card has its records, and is never itself merged. Its `field_versions` then have those fields
    too in which the two cards differed, at the number of the merge.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, null=True)
    name = SealedField(str)
    born = SealedField(str)
    address = SealedField(str, default="")
    # Of the door at that address, a `places.position.Position`, where it is known.
    position = SealedField(dict, null=True)
    phone = SealedField(str, default="")
    email = SealedField(str, default="")
    room = SealedField(str, default="")
    # None on cards from before they were asked: no corridor, and in their turn.
    corridor = SealedField(str, null=True)
    see_last = SealedField(bool, null=True)
    contact_name = SealedField(str, default="")
    contact_phone = SealedField(str, default="")
    contact_role = SealedField(str, default="")
    decides_for_self = SealedField(bool, default=True)
    note = SealedField(str, default="")
    # None on cards from before it was asked, which no migration can open: active.
    status = SealedField(str, null=True)
    status_since = SealedField(str, null=True)
    # When, by whom and how soon: None on cards from before it was asked.
    visit_times = SealedField(list, null=True)
    preferred_staff = SealedField(str, null=True)
    may_wait = SealedField(bool, null=True)
    needs_skills = SealedField(list, null=True)
    # How to get in at that address; None on cards from before it was asked.
    entry_note = SealedField(str, null=True)
    field_versions = models.JSONField(default=dict)
    merged_into = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, default=None, related_name="merged"
    )

    def seal_subject(self) -> UUID:
        return self.pk


class ClientLikeness(models.Model):
    """A keyed digest of what two cards of one person are likely to share; tells nothing by
    itself."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="likenesses")
    mark = models.BinaryField(max_length=32)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["mark", "client"], name="one_mark_per_client")
        ]
