"""The price list."""

from uuid import UUID

from django.db import models

from heelwright.people.models import Facility
from heelwright.tenancy.models import Practice, Staff
from heelwright.vault.fields import SealedField
from heelwright.vault.models import SealedModel


class PriceItem(SealedModel):
    """A service or a product on the price list. Its name stands on receipts. `advice` is the
    aftercare of the book with which a product goes."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    kind = models.CharField(max_length=16)
    name = SealedField(str)
    advice = models.CharField(max_length=60, blank=True, default="")
    given_up = models.BooleanField(default=False)

    def seal_subject(self) -> UUID:
        return self.practice_id


class Price(models.Model):
    """As `rules.prices.Price`; never changed. `number` is the order in which those of an item were
    set, `tax` the rate in per cent."""

    id = models.UUIDField(primary_key=True)
    item = models.ForeignKey(PriceItem, on_delete=models.PROTECT, related_name="prices")
    number = models.PositiveIntegerField()
    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, null=True, related_name="+")
    starts = models.DateField()
    amount = models.DecimalField(max_digits=12, decimal_places=3, null=True)
    currency = models.CharField(max_length=3, blank=True)
    tax = models.DecimalField(max_digits=6, decimal_places=3)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["item", "number"], name="one_price_per_number")
        ]
