"""A receipt for a sale, in the languages in which clients get letters.

It names no client and nothing of health: whoever holds it has paid. The words are the phone's,
written into `receipt_words.json` by its tests.
"""

import json
from collections.abc import Iterator
from datetime import date
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
from heelwright.intake.may_read import minute_of
from heelwright.money import shown
from heelwright.takings.models import Payment, Sale
from heelwright.takings.reading import line_of, payment_told, rate_text, sale_told
from heelwright.takings.rules.told import books, standing
from heelwright.takings.rules.totals import summed
from heelwright.tenancy.models import Device

WORDS: dict[str, dict[str, str]] = json.loads(
    (Path(__file__).parent / "receipt_words.json").read_text(encoding="utf-8")
)


def receipt(language: str, reader: Device, row_id: UUID) -> dict[str, Any]:
    """Raises Refused where the reader may not see the sale, or where it was corrected since."""
    sale, words, now = _sale(reader, row_id), WORDS[language], clock.now()
    practice, lines = reader.practice, [line_of(line) for line in sale.lines]
    found = summed(lines, sale.tax_on_top, sale.currency)
    money = partial(shown, sale.currency)
    taxed = "tax_added" if sale.tax_on_top else "tax_in_it"
    return {
        "language": language,
        "words": words,
        "written_at": now.isoformat(),
        "written_on": minute_of(now.astimezone(ZoneInfo(practice.zone))),
        "practice": practice.name,
        "reach": practice.reply_to,
        "invented": practice.invented,
        "day": _day(sale.day, words),
        "reference": sale.pk.hex[-8:].upper(),
        "lines": [
            [_named(told, words, money), money(line.amount)]
            for told, line in zip(sale.lines, lines, strict=True)
        ],
        "taxes": [
            words[taxed].format(rate=rate_text(rate), amount=money(part.tax))
            for rate, part in found.by_rate.items()
            if part.tax
        ],
        "total": money(found.total),
        "paid": [*_paid(sale, words, money)],
    }


def _sale(reader: Device, row_id: UUID) -> Sale:
    role = Role(reader.staff.role)
    sales = Sale.objects.filter(practice=reader.practice, pk=row_id)
    if role is not Role.OWNER:
        sales = sales.filter(staff=reader.staff)
    sale = sales.first() if may_see("sale", role) else None
    if sale is None:
        raise Refused("not_found", "This sale was not found.", "Sync, look again.", "row_id")
    others = Sale.objects.filter(practice=reader.practice, staff=sale.staff)
    if not sale.lines or any(str(sale.pk) in other.replaces for other in others):
        raise Refused(
            "corrected", "This sale was corrected.", "Open what stands for it now.", "row_id"
        )
    return sale


def _day(day: date, words: dict[str, str]) -> str:
    month = words["months"].split()[day.month - 1]
    return words["date"].format(day=day.day, month=month, year=day.year)


def _named(told: dict[str, Any], words: dict[str, str], money: Any) -> str:
    name = (
        told["name"]
        if told["quantity"] == 1
        else f"{told['quantity']} \N{MULTIPLICATION SIGN} {told['name']}"
    )
    off = Decimal(told["discount"])
    return f"{name} ({words['less'].format(amount=money(off))})" if off else name


def _paid(sale: Sale, words: dict[str, str], money: Any) -> Iterator[str]:
    """How it was paid at once or later, and what is still to pay."""
    if sale.paid != "not_yet":
        yield words[f"paid_{sale.paid}"]
        return
    told = [payment_told(one) for one in Payment.objects.filter(sale=sale).select_related("sale")]
    found = books([sale_told(sale)], told)
    came = [one for one in standing(told) if one.amount and one.id not in found.doubled]
    if not came:
        yield words["paid_not_yet"]
    for one in came:
        yield f"{_day(one.day, words)}: {money(one.amount)}, {words[f'paid_{one.way}']}"
    due = found.unpaid.get(str(sale.pk), Decimal(0))
    if due > 0:
        yield words["due"].format(amount=money(due))


TEMPLATE = Path(__file__).parent / "receipt.typ"
document(Document("receipt", TEMPLATE, partial(receipt, "en")))
document(Document("receipt_es", TEMPLATE, partial(receipt, "es")))
