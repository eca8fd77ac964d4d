"""What an accountant asks for, over some days: each line that was sold, its tax by rate, how it was
paid; what came in, day by day and by which way; what is due; and the travel for work.

No client is named, and nothing is told of health. What was corrected is left out; what was entered
twice stands there and is not added up.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import log
from heelwright.declarations import Days, Log, Refused, Role
from heelwright.intake.may_read import day_of, minute_of
from heelwright.money import rounded, shown
from heelwright.takings.invoices import on_invoices
from heelwright.takings.models import Payment, Sale
from heelwright.takings.reading import line_of, payment_told, rate_text, sale_told
from heelwright.takings.rules import told
from heelwright.takings.rules.totals import summed
from heelwright.tenancy.models import Device, Staff
from heelwright.trips.log import sums_of_days

COLUMNS = [
    *("Day", "What", "Name", "Quantity", "Discount", "Net", "Tax rate", "Tax", "Total"),
    *("Currency", "Paid", "Entered by", "Remark", "Invoice"),
]
PAID = {
    "cash": "Cash",
    "card": "Card",
    "transfer": "Bank transfer",
    "cheque": "Cheque",
    "not_yet": "Not yet",
}
TWICE = "Entered twice, not added up"


@dataclass
class Ledger:
    """What a reader may see of one currency."""

    currency: str
    sales: dict[str, Sale]
    payments: dict[str, Payment]
    books: told.Books
    stand: set[str]
    invoices: dict[str, int]


def takings_log(reader: Device, days: Days) -> dict[str, Any]:
    """The owner's is of everybody, a technician's their own; raises Refused for a role that sees no
    sales."""
    practice, role = reader.practice, Role(reader.staff.role)
    if not may_see("sale", role):
        raise Refused("not_found", "There is no such log.", "Check the address.", "name")
    ledgers = list(_ledgers(reader, role))
    people = {staff.pk: staff.name for staff in Staff.objects.filter(practice=practice)}
    now = clock.now()
    return {
        "written_at": now.isoformat(),
        "written_on": minute_of(now.astimezone(ZoneInfo(practice.zone))),
        "practice": practice.name,
        "invented": practice.invented,
        "span": f"{day_of(days.first)} to {day_of(days.last)}",
        "columns": COLUMNS,
        "rows": sorted(row for of in ledgers for row in _rows(of, days, people)),
        "sums": [*_all_sums(ledgers, days), *_miles(reader, days)],
    }


def _all_sums(ledgers: list[Ledger], days: Days) -> Iterator[dict[str, Any]]:
    """Of several currencies, each table says whose it is: more than one may have the same sign."""
    for of in ledgers:
        named = f", in {of.currency}" if len(ledgers) > 1 and of.currency else ""
        for table in _sums(of, days):
            yield table | {"title": table["title"] + named}


def _miles(reader: Device, days: Days) -> Iterator[dict[str, Any]]:
    if rows := sums_of_days(reader, days):
        yield {"title": "Travel for work", "rows": rows}


def _ledgers(reader: Device, role: Role) -> Iterator[Ledger]:
    sales = Sale.objects.filter(practice=reader.practice).order_by("day", "id")
    payments = Payment.objects.filter(practice=reader.practice).select_related("sale")
    if role is not Role.OWNER:
        sales = sales.filter(staff=reader.staff)
        payments = payments.filter(sale__staff=reader.staff)
    by_currency: dict[str, list[Sale]] = defaultdict(list)
    for sale in sales:
        by_currency[sale.currency].append(sale)
    all_paid = list(payments)
    numbers = on_invoices(reader.practice) if may_see("invoice", role) else {}
    for currency, of in sorted(by_currency.items()):
        paid = [payment for payment in all_paid if payment.sale.currency == currency]
        told_of = [sale_told(sale) for sale in of]
        paid_of = [payment_told(payment) for payment in paid]
        stand = {one.id for one in told.standing(told_of)}
        stand |= {one.id for one in told.standing(paid_of)}
        yield Ledger(
            currency,
            {str(sale.pk): sale for sale in of},
            {str(payment.pk): payment for payment in paid},
            told.books(told_of, paid_of),
            stand,
            numbers,
        )


def _in(day: date, days: Days) -> bool:
    return days.first <= day <= days.last


def _rows(of: Ledger, days: Days, people: dict[Any, str]) -> Iterator[list[str]]:
    for id_, sale in of.sales.items():
        if id_ in of.stand and _in(sale.day, days):
            remark = TWICE if id_ in of.books.doubled else ("Corrected" if sale.replaces else "")
            for line in sale.lines:
                yield [*_line(of.currency, sale, line, people, remark), _on(of, id_)]
    for id_, payment in of.payments.items():
        if id_ in of.stand and payment.amount and _in(payment.day, days):
            remark = TWICE if id_ in of.books.doubled else ""
            amount = str(rounded(payment.amount, of.currency))
            yield [
                *(f"{payment.day:%Y-%m-%d}", "Paid later", "", "", "", "", "", "", amount),
                *(of.currency, PAID[payment.way], people[payment.staff_id], remark),
                _on(of, str(payment.sale_id)),
            ]


def _on(of: Ledger, sale: str) -> str:
    """The number of the invoice that it stands on."""
    return str(of.invoices.get(sale, ""))


def _line(
    currency: str, sale: Sale, told_line: dict[str, Any], people: dict[Any, str], remark: str
) -> list[str]:
    """The tax of a line alone; the sums have it as it was worked out, once for each rate."""
    line = line_of(told_line)
    alone = summed([line], sale.tax_on_top, currency)
    taxed = alone.by_rate[line.tax]
    money = [str(rounded(amount, currency)) for amount in (taxed.net, taxed.tax, alone.total)]
    return [
        *(f"{sale.day:%Y-%m-%d}", told_line["kind"].capitalize(), told_line["name"]),
        *(str(line.quantity), str(rounded(line.discount, currency))),
        *(money[0], rate_text(line.tax), money[1], money[2]),
        *(currency, PAID[sale.paid], people[sale.staff_id], remark),
    ]


def _sums(of: Ledger, days: Days) -> Iterator[dict[str, Any]]:
    text = partial(shown, of.currency)
    received = [one for one in of.books.received if _in(one[0], days)]
    yield {"title": "Came in, by way", "rows": _added((PAID[w], a) for _, w, a in received)}
    by_day = ((f"{day:%Y-%m-%d}", amount) for day, _, amount in received)
    yield {"title": "Came in, by day", "rows": _added(by_day)}
    net: dict[Decimal, Decimal] = defaultdict(Decimal)
    tax: dict[Decimal, Decimal] = defaultdict(Decimal)
    for id_, sale in of.sales.items():
        if id_ in of.stand and id_ not in of.books.doubled and _in(sale.day, days):
            lines = [line_of(line) for line in sale.lines]
            for rate, part in summed(lines, sale.tax_on_top, of.currency).by_rate.items():
                net[rate] += part.net
                tax[rate] += part.tax
    rows = [[f"{rate_text(rate)} % of {text(net[rate])}", text(tax[rate])] for rate in sorted(net)]
    yield {"title": "Sold, and the tax in it, by rate", "rows": rows}
    due = sum(of.books.unpaid.values(), Decimal(0))
    yield {"title": "Due at present, whatever the days", "rows": [["Together", text(due)]]}


def _added(told_of: Iterable[tuple[str, Decimal]]) -> list[list[str]]:
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for name, amount in told_of:
        sums[name] += amount
    rows = [[name, str(amount)] for name, amount in sorted(sums.items())]
    return [*rows, ["Together", str(sum(sums.values(), Decimal(0)))]]


log(Log("takings_log", Path(__file__).parent / "log.typ", takings_log))
