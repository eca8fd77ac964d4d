"""The links of the chains, and where each chain ends. A chain has the id of whom it is about. Only
`chain.append` writes them."""

from django.db import models


class Link(models.Model):
    """One entry of a chain. Never changed, never removed."""

    chain = models.UUIDField()
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
            models.UniqueConstraint(fields=["chain", "number"], name="one_link_per_number")
        ]


class ChainHead(models.Model):
    """The newest link of a chain, kept apart so that a cut-off end is seen."""

    chain = models.UUIDField(primary_key=True)
    number = models.BigIntegerField()
    link_hash = models.BinaryField(max_length=32)
