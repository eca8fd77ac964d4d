"""The links of the chains, and where each chain ends. Only `chain.append` writes them."""

from django.db import models


class Link(models.Model):
    """One entry of a practice's chain. Never changed, never removed."""

    practice_id = models.UUIDField()
    number = models.BigIntegerField()
    what = models.CharField(max_length=60)
    row_id = models.UUIDField(db_index=True)
    digest = models.BinaryField(max_length=32)
    previous = models.BinaryField(max_length=32)
    link_hash = models.BinaryField(max_length=32)
    signature = models.BinaryField(max_length=64)
    key_id = models.CharField(max_length=64)
    made_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice_id", "number"], name="one_link_per_number")
        ]


class ChainHead(models.Model):
    """The newest link of a practice's chain, kept apart so that a cut-off end is seen."""

    practice_id = models.UUIDField(primary_key=True)
    number = models.BigIntegerField()
    link_hash = models.BinaryField(max_length=32)
