"""What something costs on a day."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True)
class Price:
    """From `starts` on, at a facility or, without one, anywhere else. Without an amount a facility
    has no price of its own any more. Those of one item stand in the order in which they were set.
    """

    starts: date
    amount: Decimal | None
    facility: str | None = None


def price_on(prices: Iterable[Price], facility: str | None, day: date) -> Price | None:
    """The latest to have started; of two that start on one day, the one that was set last."""
    started = [price for price in prices if price.starts <= day]
    own = _latest(started, facility) if facility else None
    return own if own and own.amount is not None else _latest(started, None)


def _latest(started: Iterable[Price], facility: str | None) -> Price | None:
    found: Price | None = None
    for price in started:
        if price.facility == facility and (found is None or price.starts >= found.starts):
            found = price
    return found
