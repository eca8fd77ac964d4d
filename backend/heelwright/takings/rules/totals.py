"""What a sale comes to.

Tax is worked out once for each rate, on what all lines of that rate come to, and rounded once, a
half up. On an invoice as a whole, and half up: A New Tax System (Goods and Services Tax) Act 1999
(Australia) s 9-90(2)(a); Streamlined Sales and Use Tax Agreement (US) s 324, which leaves the
choice between item and invoice. Both published.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from heelwright.money import rounded


@dataclass(frozen=True)
class Line:
    """`price` is of one, `discount` of the line, `tax` the rate in per cent."""

    quantity: int
    price: Decimal
    discount: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)

    @property
    def amount(self) -> Decimal:
        return self.quantity * self.price - self.discount


@dataclass
class Taxed:
    """Of one rate: what the lines are without its tax, and the tax."""

    net: Decimal
    tax: Decimal


@dataclass
class Sum:
    total: Decimal = Decimal(0)
    by_rate: dict[Decimal, Taxed] = field(default_factory=dict)

    @property
    def tax(self) -> Decimal:
        return sum((taxed.tax for taxed in self.by_rate.values()), Decimal(0))


def summed(lines: Iterable[Line], on_top: bool, currency: str) -> Sum:
    """With tax in the prices, the total is what the lines add up to, whatever the rounding."""
    amounts: dict[Decimal, Decimal] = {}
    for line in lines:
        amounts[line.tax] = amounts.get(line.tax, Decimal(0)) + line.amount
    found = Sum(total=rounded(Decimal(0), currency))
    for rate, amount in sorted(amounts.items()):
        of = Decimal(100) if on_top else 100 + rate
        tax = rounded(amount * rate / of, currency)
        found.by_rate[rate] = Taxed(amount if on_top else amount - tax, tax)
        found.total += amount + tax if on_top else amount
    return found
