"""The price list, what was sold and received, and what of the products is in each bag.

Nothing that was told is changed: a correction stands beside what it corrects. Of a sale, everything
but the client lies under the practice's key and names nobody, since records of money are kept when
those of a client are erased; who it was for is a row of the client's own.
"""

from uuid import UUID

from django.db import models

from heelwright.people.models import Client, Facility
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


class Told(SealedModel):
    """What a member of staff told of money; `beside` and `replaces` as in `rules.told`."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    day = models.DateField()
    beside = models.JSONField(default=list)
    replaces = models.JSONField(default=list)
    told_at = models.DateTimeField()

    class Meta:
        abstract = True

    def seal_subject(self) -> UUID:
        return self.practice_id


class Sale(Told):
    """`lines` are in the shape of `arguments.SaleLine`. Without lines, it takes back what it
    replaces. `visit` is an id alone."""

    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, null=True, related_name="+")
    visit = models.UUIDField(null=True)
    currency = models.CharField(max_length=3, blank=True)
    tax_on_top = models.BooleanField()
    lines = SealedField(list)
    paid = models.CharField(max_length=16)

    class Meta:
        indexes = [models.Index(fields=["practice", "day"], name="sales_by_day")]


class SoldTo(models.Model):
    """Whom a sale was for. It goes when the client is erased, and the sale stays."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="+")


class Payment(Told):
    """What came in later for a sale. `amount` is in the sale's currency."""

    sale = models.ForeignKey(Sale, on_delete=models.PROTECT, related_name="payments")
    amount = models.DecimalField(max_digits=12, decimal_places=3)
    way = models.CharField(max_length=16)


class Invoice(SealedModel):
    """A bill to a facility for what was sold there and not paid. It has the sales by their ids, and
    what they come to by `rules.invoices`: no sale is ever changed. `number` is the practice's next,
    without a gap. `days` is in how many days it is to be paid. One that is taken back keeps its
    number."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    facility = models.ForeignKey(Facility, on_delete=models.PROTECT, related_name="+")
    number = models.PositiveIntegerField()
    sales = models.JSONField()
    day = models.DateField()
    days = models.PositiveSmallIntegerField()
    seller = SealedField(str)
    buyer = SealedField(str)
    reference = SealedField(str)
    how_to_pay = SealedField(str)
    told_at = models.DateTimeField()
    void_on = models.DateField(null=True, default=None)
    void_reason = SealedField(str, default="")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["practice", "number"], name="one_invoice_per_number")
        ]

    def seal_subject(self) -> UUID:
        return self.practice_id


class BagChange(models.Model):
    """More or fewer of a product in somebody's bag than before, other than by a sale."""

    id = models.UUIDField(primary_key=True)
    practice = models.ForeignKey(Practice, on_delete=models.PROTECT)
    staff = models.ForeignKey(Staff, on_delete=models.PROTECT, related_name="+")
    item = models.ForeignKey(PriceItem, on_delete=models.PROTECT, related_name="+")
    what = models.CharField(max_length=16)
    by = models.IntegerField()
    told_at = models.DateTimeField()
