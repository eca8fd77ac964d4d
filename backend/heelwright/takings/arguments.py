"""The shapes of what is told of money. Amounts are texts such as "12.50", with the places that
their currency has; rates of tax are in per cent."""

from decimal import Decimal
from typing import Annotated, Literal, Self
from uuid import UUID

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    model_validator,
)
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Day, Line, Name, Version
from heelwright.money import CURRENCIES, places


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


Way = Literal["cash", "transfer", "card", "cheque"]
Paid = Literal["cash", "transfer", "card", "cheque", "not_yet"]
Others = Annotated[list[UUID], Field(max_length=20)]


class SaleLine(BaseModel):
    """`name` as it stood on the price list, `price` of one, `discount` of the whole line."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    item: UUID | None = None
    kind: Literal["service", "product"]
    name: Name
    quantity: int = Field(ge=1, le=999)
    price: Amount
    discount: Amount
    tax: Rate = "0"

    @model_validator(mode="after")
    def is_not_less_than_nothing(self) -> Self:
        if Decimal(self.discount) > self.quantity * Decimal(self.price):
            raise PydanticCustomError(
                "discount_too_large",
                "discount too large",
                {
                    "text": "A discount is more than the price.",
                    "remedy": "Check the discount.",
                    "field": "discount",
                },
            )
        return self


class RecordSale(Args):
    """The whole of what was sold. `beside` are those of the same visit that the phone knew and that
    this one adds to; `replaces` those that it corrects: without lines it takes them back."""

    sale: UUID
    client: UUID | None = None
    facility: UUID | None = None
    visit: UUID | None = None
    day: Day
    currency: Currency
    tax_on_top: bool
    lines: Annotated[list[SaleLine], Field(max_length=40)]
    paid: Paid
    beside: Others = []
    replaces: Others = []

    @model_validator(mode="after")
    def tells_of_something(self) -> Self:
        if not self.lines and not self.replaces:
            raise PydanticCustomError(
                "missing_field",
                "no lines",
                {"text": "Nothing was sold.", "remedy": "Add what was sold.", "field": "lines"},
            )
        return self

    @model_validator(mode="after")
    def corrects_another(self) -> Self:
        _not_among(self.sale, self.replaces)
        return self

    @model_validator(mode="after")
    def in_its_currency(self) -> Self:
        _in_places(self.currency, *(a for line in self.lines for a in (line.price, line.discount)))
        return self


class RecordPayment(Args):
    """What came in later for a sale. An amount of nothing takes back what it replaces."""

    payment: UUID
    sale: UUID
    day: Day
    amount: Amount
    way: Way
    beside: Others = []
    replaces: Others = []

    @model_validator(mode="after")
    def corrects_another(self) -> Self:
        _not_among(self.payment, self.replaces)
        return self


Block = Annotated[str, StringConstraints(min_length=1, max_length=600)]


class IssueInvoice(Args):
    """`seller` and `buyer` are names, addresses and numbers as they are to stand on it; `days` is
    in how many days it is to be paid. `first_number` counts for the first one of the practice."""

    invoice: UUID
    facility: UUID
    sales: Annotated[list[UUID], Field(min_length=1, max_length=500)]
    day: Day
    days: int = Field(ge=0, le=365)
    seller: Block
    buyer: Block
    reference: Line = ""
    how_to_pay: Annotated[str, StringConstraints(max_length=600)] = ""
    first_number: int = Field(default=1, ge=1, le=99_999_999)


class VoidInvoice(Args):
    """It is not to be paid: its sales can be billed again."""

    invoice: UUID
    day: Day
    reason: Line = ""


class ChangeBag(Args):
    """More or fewer of a product in one's own bag: `taken` into it, `given_back`, or `counted`."""

    change: UUID
    item: UUID
    what: Literal["taken", "given_back", "counted"]
    by: int = Field(ge=-9_999, le=9_999)


def _not_among(own: UUID, replaces: list[UUID]) -> None:
    """What replaces itself would stand nowhere."""
    if own in replaces:
        raise PydanticCustomError(
            "replaces_itself",
            "replaces itself",
            {
                "text": "An entry cannot replace itself.",
                "remedy": "Enter the correction again.",
                "field": "replaces",
            },
        )


def _in_places(currency: str, *amounts: str) -> None:
    if any(len(amount.partition(".")[2]) != places(currency) for amount in amounts):
        raise PydanticCustomError(
            "wrong_places",
            "wrong places",
            {
                "text": "An amount has more or fewer decimals than its currency.",
                "remedy": "Enter the amount again.",
                "field": "lines",
            },
        )
