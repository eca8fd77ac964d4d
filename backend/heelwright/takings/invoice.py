"""An invoice on paper. It names no resident: the facility has the handover sheet.

What it says is what tax offices ask for (decision 0212): number and day, seller and buyer, days of
service, quantity, kind and price, net and tax by rate, total. It is the office that says whether
that is enough.
"""

from datetime import timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused, Role
from heelwright.intake.may_read import day_of, minute_of
from heelwright.money import rounded, shown
from heelwright.takings.invoices import sales_of
from heelwright.takings.models import Invoice, Sale
from heelwright.takings.reading import line_of, rate_text
from heelwright.takings.rules.invoices import Billed, billed
from heelwright.takings.rules.totals import Line
from heelwright.tenancy.models import Device


def invoice(reader: Device, row_id: UUID) -> dict[str, Any]:
    """Raises Refused for anybody but the owner."""
    of = Invoice.objects.filter(practice=reader.practice, pk=row_id).first()
    if of is None or not may_see("invoice", Role(reader.staff.role)):
        raise Refused("not_found", "This invoice was not found.", "Sync, look again.", "row_id")
    sales, now = sales_of(reader.practice, of.sales), clock.now()
    return {
        "written_at": now.isoformat(),
        "written_on": minute_of(now.astimezone(ZoneInfo(reader.practice.zone))),
        "invented": reader.practice.invented,
        "number": str(of.number),
        "day": day_of(of.day),
        "due_on": day_of(of.day + timedelta(days=of.days)),
        "days": [day_of(day) for day in sorted({sale.day for sale in sales})],
        "seller": of.seller,
        "buyer": of.buyer,
        "reference": of.reference,
        "how_to_pay": of.how_to_pay,
        "void_on": day_of(of.void_on) if of.void_on else "",
        "void_reason": of.void_reason,
    } | _sums(sales)


def _sums(sales: list[Sale]) -> dict[str, Any]:
    """All sales of an invoice have the currency of the first."""
    currency, on_top = sales[0].currency, sales[0].tax_on_top
    told = ([Billed(line["name"], line_of(line)) for line in sale.lines] for sale in sales)
    bill, money = billed(told, on_top, currency), partial(shown, currency)
    return {
        "currency": currency,
        "on_top": on_top,
        "taxed": any(part.tax for part in bill.by_rate.values()),
        "lines": [_line(one, on_top, currency) for one in bill.lines],
        "rates": [
            [f"{rate_text(rate)} %", *map(money, (part.net, part.tax, part.net + part.tax))]
            for rate, part in bill.by_rate.items()
        ],
        "total": money(bill.total),
    }


def _line(one: Billed, on_top: bool, currency: str) -> list[str]:
    line = one.line
    amounts = (_without_tax(line, on_top), line.price, line.discount, line.amount)
    shown = [str(rounded(amount, currency)) for amount in amounts]
    return [one.name, str(line.quantity), shown[0], f"{rate_text(line.tax)} %", *shown[1:]]


def _without_tax(line: Line, on_top: bool) -> Decimal:
    return line.price if on_top else line.price * 100 / (100 + line.tax)


document(Document("invoice", Path(__file__).parent / "invoice.typ", invoice))
