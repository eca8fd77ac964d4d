"""Money on the feed: the price list to whoever takes money; a sale, its payments and a bag to whom
it is of, and to the owner; an invoice to the owner; whom a sale was for to those who have the
client."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, Literal
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.money import rounded
from heelwright.takings.arguments import Paid, SaleLine, Way
from heelwright.takings.models import BagChange, Invoice, Payment, Price, PriceItem, Sale, SoldTo
from heelwright.takings.reading import rate_text

Rows = Iterable[tuple[UUID, BaseModel]]


class PriceOut(BaseModel):
    id: UUID
    facility: UUID | None
    starts: date
    amount: str | None
    currency: str
    tax: str


class PriceItemRow(BaseModel):
    """`prices` in the order in which they were set."""

    kind: Literal["service", "product"]
    name: str
    advice: str
    given_up: bool
    prices: list[PriceOut]


class SaleRow(BaseModel):
    staff: UUID
    facility: UUID | None
    visit: UUID | None
    day: date
    currency: str
    tax_on_top: bool
    lines: list[SaleLine]
    paid: Paid
    beside: list[UUID]
    replaces: list[UUID]
    told_at: datetime


class SoldToRow(BaseModel):
    """It has the id of the sale."""

    client: UUID


class PaymentRow(BaseModel):
    staff: UUID
    sale: UUID
    day: date
    amount: str
    way: Way
    beside: list[UUID]
    replaces: list[UUID]
    told_at: datetime


class InvoiceRow(BaseModel):
    facility: UUID
    number: int
    sales: list[UUID]
    day: date
    days: int
    seller: str
    buyer: str
    reference: str
    how_to_pay: str
    told_at: datetime
    void_on: date | None
    void_reason: str


class BagChangeRow(BaseModel):
    staff: UUID
    item: UUID
    what: Literal["taken", "given_back", "counted"]
    by: int
    told_at: datetime


def price_items(ids: Iterable[UUID]) -> Rows:
    prices: dict[UUID, list[PriceOut]] = {}
    for price in Price.objects.filter(item__in=ids).order_by("number"):
        prices.setdefault(price.item_id, []).append(_price(price))
    for row in PriceItem.objects.filter(pk__in=ids):
        told = {
            "kind": row.kind,
            "name": row.name,
            "advice": row.advice,
            "given_up": row.given_up,
            "prices": prices.get(row.pk, []),
        }
        yield row.pk, PriceItemRow.model_validate(told)


def _price(price: Price) -> PriceOut:
    amount = None if price.amount is None else str(rounded(price.amount, price.currency))
    return PriceOut(
        id=price.pk,
        facility=price.facility_id,
        starts=price.starts,
        amount=amount,
        currency=price.currency,
        tax=rate_text(price.tax),
    )


def sales(ids: Iterable[UUID]) -> Rows:
    for row in Sale.objects.filter(pk__in=ids):
        told = {"staff": row.staff_id, "facility": row.facility_id, "lines": row.lines}
        copied = ("visit", "day", "currency", "tax_on_top", "paid", "beside", "replaces", "told_at")
        yield row.pk, SaleRow.model_validate(told | {name: getattr(row, name) for name in copied})


def sold_to(ids: Iterable[UUID]) -> Rows:
    for row in SoldTo.objects.filter(pk__in=ids):
        yield row.pk, SoldToRow(client=row.client_id)


def payments(ids: Iterable[UUID]) -> Rows:
    for row in Payment.objects.filter(pk__in=ids).select_related("sale"):
        told: dict[str, Any] = {"staff": row.staff_id, "sale": row.sale_id}
        told |= {"amount": str(rounded(row.amount, row.sale.currency))}
        copied = ("day", "way", "beside", "replaces", "told_at")
        named = told | {name: getattr(row, name) for name in copied}
        yield row.pk, PaymentRow.model_validate(named)


def invoices(ids: Iterable[UUID]) -> Rows:
    for row in Invoice.objects.filter(pk__in=ids):
        told: dict[str, Any] = {"facility": row.facility_id}
        copied = set(InvoiceRow.model_fields) - {"facility"}
        yield (
            row.pk,
            InvoiceRow.model_validate(told | {name: getattr(row, name) for name in copied}),
        )


def bag_changes(ids: Iterable[UUID]) -> Rows:
    for row in BagChange.objects.filter(pk__in=ids):
        told: dict[str, Any] = {"staff": row.staff_id, "item": row.item_id}
        copied = ("what", "by", "told_at")
        named = told | {name: getattr(row, name) for name in copied}
        yield row.pk, BagChangeRow.model_validate(named)


def _whose(row: Any) -> UUID:
    of: UUID = row.staff_id
    return of


feed_kind(FeedKind("price_item", PriceItem, PriceItemRow, lambda row: row.practice_id, price_items))
feed_kind(FeedKind("sale", Sale, SaleRow, _whose, sales))
feed_kind(FeedKind("sold_to", SoldTo, SoldToRow, lambda row: row.client_id, sold_to))
# Whoever told of the sale sees what the owner told of its payment.
feed_kind(FeedKind("payment", Payment, PaymentRow, lambda row: row.sale.staff_id, payments))
feed_kind(FeedKind("invoice", Invoice, InvoiceRow, lambda row: row.practice_id, invoices))
feed_kind(FeedKind("bag_change", BagChange, BagChangeRow, _whose, bag_changes))
follows_client(SoldTo)
