"""The rows of the vault, and the base of every model that has sealed fields."""

from typing import Any
from uuid import UUID

from django.db import models

from heelwright import clock
from heelwright.ids import new_id


class DataKey(models.Model):
    """The data key of one subject, wrapped. Destroying this row destroys all that it seals."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    practice_id = models.UUIDField(db_index=True)
    subject = models.UUIDField(unique=True)
    kek_id = models.CharField(max_length=64, db_index=True)
    wrapped = models.BinaryField()
    created_at = models.DateTimeField(default=clock.now)


class Shredded(models.Model):
    """The tombstone of a data key: its subject gets no new one."""

    subject = models.UUIDField(primary_key=True)
    shredded_at = models.DateTimeField()


class SealedModel(models.Model):
    """A model with sealed fields: its rows say whom they are about.

    By default the row's `client_id`, and its `practice_id` where there is no client. The id must be
    known before the row is saved. A change of id, client or practice seals anew what was read
    before, and is refused while a field was not.
    """

    class Meta:
        abstract = True

    def seal_subject(self) -> UUID:
        client: UUID | None = getattr(self, "client_id", None)
        return client or self.seal_practice()

    def seal_practice(self) -> UUID:
        practice: Any = self.practice_id  # type: ignore[attr-defined]
        return practice  # type: ignore[no-any-return]
