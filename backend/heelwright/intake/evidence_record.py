"""What every record about a client has. Append-only: a correction is a new row."""

from datetime import datetime
from uuid import UUID

from django.db import models

from heelwright.commandlog.device_clock import by_now
from heelwright.people.models import Client
from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.models import SealedModel


class ClientRecord(SealedModel):
    """A row about one client, written by one member of staff, sealed under the client's key.

    `received_at` is by the server's clock; every other time is what the device's clock said.
    """

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    rulebook = models.CharField(max_length=64)
    received_at = models.DateTimeField()

    class Meta:
        abstract = True

    def seal_subject(self) -> UUID:
        return self.client_id

    def counted(self, claimed: datetime) -> datetime:
        """A time that this record tells, as it counts: never after the server had it."""
        return by_now(claimed, self.received_at)


class EvidenceRecord(ClientRecord):
    """A row in the evidence chain of its client: `chained.py` links it when it is written. It is
    written again only when two cards become one, under the card that stays."""

    class Meta:
        abstract = True
