"""The shapes of what is told of money. Amounts are texts such as "12.50", with the places that
their currency has; rates of tax are in per cent."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import AfterValidator, StringConstraints
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Name, Version
from heelwright.intake.arguments import Day
from heelwright.money import CURRENCIES


def _known(currency: str) -> str:
    if currency and currency not in CURRENCIES:
        raise PydanticCustomError(
            "not_a_currency",
            "not a currency",
            {
                "text": "This is not the code of a currency in use.",
                "remedy": "Set the currency of the practice again.",
            },
        )
    return currency


# "" where nobody knows it.
Currency = Annotated[str, StringConstraints(pattern=r"^([A-Z]{3})?$"), AfterValidator(_known)]
Amount = Annotated[str, StringConstraints(pattern=r"^(0|[1-9][0-9]{0,7})(\.[0-9]{1,3})?$")]
Rate = Annotated[str, StringConstraints(pattern=r"^(0|[1-9][0-9]?)(\.[0-9]{1,3})?$")]


class SetPriceItem(Args):
    """A new one, or the whole of one that is there. `seen` is the version that the person has read;
    without one it is new."""

    item: UUID
    seen: Version | None = None
    kind: Literal["service", "product"]
    name: Name
    advice: Annotated[str, StringConstraints(pattern=r"^([a-z0-9_]{1,60})?$")] = ""
    given_up: bool = False


class SetPrice(Args):
    """What an item costs from a day on. Without an amount, `facility` has no price of its own any
    more."""

    price: UUID
    item: UUID
    facility: UUID | None = None
    starts: Day
    amount: Amount | None
    currency: Currency
    tax: Rate = "0"
