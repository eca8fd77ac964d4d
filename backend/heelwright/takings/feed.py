"""The price list on the feed: to whoever takes money."""

from collections.abc import Iterable
from datetime import date
from typing import Literal
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind
from heelwright.declarations import FeedKind
from heelwright.money import rounded
from heelwright.takings.models import Price, PriceItem

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


def rate_text(rate: object) -> str:
    """Without the noughts that a column adds."""
    text = f"{rate:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


feed_kind(FeedKind("price_item", PriceItem, PriceItemRow, lambda row: row.practice_id, price_items))
