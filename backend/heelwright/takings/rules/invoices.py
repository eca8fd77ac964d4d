"""Which sales can stand on an invoice, and what an invoice of some sales comes to."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from heelwright.takings.rules.told import Payment, Sale, books, names_of, standing
from heelwright.takings.rules.totals import Line, Taxed, summed

State = Literal["free", "corrected", "twice", "billed", "paid"]


def states(
    sales: Sequence[Sale], payments: Sequence[Payment], billed: Collection[str]
) -> dict[str, State]:
    """Of each sale, whether it can be billed. `billed` are those on invoices that count: what
    corrects one of them is not billed beside it. One that was paid in part is left as it is, so
    that an invoice comes to what is due."""
    known, by_id = books(sales, payments), {sale.id: sale for sale in sales}
    stand = {sale.id for sale in standing(sales)}
    unsure = {payment.about for payment in payments if payment.id in known.doubled}
    found: dict[str, State] = {}
    for sale in sales:
        names = names_of(sale, by_id)
        if sale.id not in stand:
            found[sale.id] = "corrected"
        elif sale.id in known.doubled or names & unsure:
            found[sale.id] = "twice"
        elif names & set(billed):
            found[sale.id] = "billed"
        elif sale.paid != "not_yet" or known.unpaid.get(sale.id, Decimal(0)) != sale.total:
            found[sale.id] = "paid"
        else:
            found[sale.id] = "free"
    return found


@dataclass(frozen=True)
class Billed:
    """All of one name, price and rate."""

    name: str
    line: Line


@dataclass
class Bill:
    """`total` is without rounding of its own: what the sales come to, and so is each tax."""

    lines: list[Billed] = field(default_factory=list)
    total: Decimal = Decimal(0)
    by_rate: dict[Decimal, Taxed] = field(default_factory=dict)


def billed(sales: Iterable[Sequence[Billed]], on_top: bool, currency: str) -> Bill:
    """Of sales that tell their prices in one way and currency, in their order."""
    bill, lines = Bill(), dict[tuple[str, Decimal, Decimal], Billed]()
    for sale in sales:
        for one in sale:
            key = (one.name, one.line.price, one.line.tax)
            lines[key] = _together(lines.get(key), one)
        sums = summed([one.line for one in sale], on_top, currency)
        bill.total += sums.total
        for rate, part in sums.by_rate.items():
            before = bill.by_rate.get(rate, Taxed(Decimal(0), Decimal(0)))
            bill.by_rate[rate] = Taxed(before.net + part.net, before.tax + part.tax)
    bill.lines = list(lines.values())
    bill.by_rate = dict(sorted(bill.by_rate.items()))
    return bill


def _together(before: Billed | None, one: Billed) -> Billed:
    if before is None:
        return one
    line = Line(
        before.line.quantity + one.line.quantity,
        one.line.price,
        before.line.discount + one.line.discount,
        one.line.tax,
    )
    return Billed(one.name, line)
