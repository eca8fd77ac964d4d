"""Rows of sales as the rules take them."""

from decimal import Decimal
from typing import Any

from heelwright.money import rounded
from heelwright.takings.models import Payment, Sale
from heelwright.takings.rules import told
from heelwright.takings.rules.totals import Line, summed


def line_of(line: dict[str, Any]) -> Line:
    """Of the shape of `arguments.SaleLine`."""
    return Line(
        line["quantity"], Decimal(line["price"]), Decimal(line["discount"]), Decimal(line["tax"])
    )


def sale_told(sale: Sale) -> told.Sale:
    """What was taken back stands beside nothing."""
    lines = [line_of(line) for line in sale.lines]
    return told.Sale(
        id=str(sale.pk),
        about=str(sale.visit) if sale.visit and lines else None,
        day=sale.day,
        paid=sale.paid,
        total=summed(lines, sale.tax_on_top, sale.currency).total,
        beside=tuple(sale.beside),
        replaces=tuple(sale.replaces),
    )


def payment_told(payment: Payment) -> told.Payment:
    return told.Payment(
        id=str(payment.pk),
        about=str(payment.sale_id),
        day=payment.day,
        way=payment.way,
        amount=rounded(payment.amount, payment.sale.currency),
        beside=tuple(payment.beside),
        replaces=tuple(payment.replaces),
    )


def rate_text(rate: Decimal) -> str:
    """Without the noughts that a column adds."""
    text = f"{rate:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
