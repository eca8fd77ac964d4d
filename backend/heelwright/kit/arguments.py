"""The shapes of what is told of the kit. Lengths in mm, volumes in ml, speeds in revolutions a
minute, temperatures in degrees Celsius."""

from collections.abc import Iterable
from typing import Annotated, Literal, Self
from uuid import UUID

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, FiniteFloat, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, ClockTime, Day, Line, Name, Text, Version
from heelwright.intake.arguments import BookId

Part = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)
Percent = Annotated[FiniteFloat, Field(gt=0, le=100)]
Ppm = Annotated[FiniteFloat, Field(gt=0, le=1_000_000)]
Minutes = Annotated[FiniteFloat, Field(ge=0, le=7 * 24 * 60)]
Celsius = Annotated[FiniteFloat, Field(ge=0, le=300)]
Steps = Annotated[list[UUID], Field(max_length=50)]


def _each_once(ids: Iterable[UUID]) -> None:
    """Two entries under one id would become one on record."""
    told = list(ids)
    if len(told) != len(set(told)):
        raise PydanticCustomError(
            "id_twice",
            "one id for two",
            {"text": "Two entries have one id.", "remedy": "Enter it again."},
        )


class Instrument(BaseModel):
    """`family` is a bit's, of the book. The shank of most bits measures 2.35 mm."""

    model_config = Part

    kind: BookId
    name: Line = ""
    count: int = Field(default=1, ge=1, le=100)
    family: BookId | None = None
    head_mm: FiniteFloat | None = Field(default=None, gt=0, le=30)
    shank_mm: FiniteFloat | None = Field(default=None, gt=0, le=10)
    grit: Annotated[str, Field(max_length=60)] = ""
    most_rpm: FiniteFloat | None = Field(default=None, gt=0, le=60_000)


class SetCard(BaseModel):
    model_config = Part

    kind: Literal["set"]
    name: Name
    instruments: Annotated[list[Instrument], Field(min_length=1, max_length=60)]


class ProductCard(BaseModel):
    """A disinfectant by its label. `use_ppm` is the strength to which it is mixed."""

    model_config = Part

    kind: Literal["product"]
    name: Name
    used_for: Literal["instruments", "surfaces", "both"]
    active: Line = ""
    registration: Line = ""
    batch: Line = ""
    contact_minutes: FiniteFloat = Field(gt=0, le=24 * 60)
    stock_percent: Percent | None = None
    use_ppm: Ppm | None = None
    mixed_keeps_hours: FiniteFloat | None = Field(default=None, gt=0, le=24 * 366)
    expires_on: Day | None = None

    @model_validator(mode="after")
    def mixed_or_ready(self) -> Self:
        """What is mixed needs both strengths; what is ready to use has neither."""
        if (self.stock_percent is None) != (self.use_ppm is None):
            raise PydanticCustomError(
                "strength_missing",
                "one strength only",
                {
                    "text": "A product that is mixed needs two strengths.",
                    "remedy": "Fill in the strength of the stock and that of the mix, or neither.",
                },
            )
        return self


class LotCard(BaseModel):
    """Single-use items of one lot. `supply` is of the book."""

    model_config = Part

    kind: Literal["lot"]
    name: Name
    supply: BookId
    lot: Line = ""
    expires_on: Day | None = None
    count: int = Field(ge=0, le=100_000)


class MachineCard(BaseModel):
    """`maker_minutes` are longer times that the maker gives for a process of the book."""

    model_config = Part

    kind: Literal["machine"]
    name: Name
    machine: BookId
    serial: Line = ""
    serviced_on: Day | None = None
    maker_minutes: Annotated[dict[BookId, Minutes], Field(max_length=40)] = {}


Card = Annotated[SetCard | ProductCard | LotCard | MachineCard, Field(discriminator="kind")]


class RegisterThing(Args):
    thing: UUID
    label: Line
    card: Card


class AmendThing(Args):
    """The whole card. `seen` is the version that the person has read."""

    thing: UUID
    seen: Version
    card: Card


class MoveSet(Args):
    """`after` are the last steps of the set that the phone knew. `end` is the end of a cycle by
    which it is packed."""

    step: UUID
    set: UUID
    what: Literal[
        "take_out", "put_back", "soil", "wash", "pack", "reject", "lose", "retire", "bring_back"
    ]
    after: Steps
    end: UUID | None = None
    at: ClockTime
    note: Text = ""


class InLoad(BaseModel):
    model_config = Part

    set: UUID
    step: UUID
    after: Steps


def _steps_once(sets: list[InLoad]) -> list[InLoad]:
    _each_once(one.step for one in sets)
    return sets


class Asked(BaseModel):
    """As `rules.loads.Asked`."""

    model_config = Part

    level: Literal["disinfect", "sterilise"]
    minutes: Minutes
    celsius: Celsius | None
    indicator: bool
    storage_days: Annotated[int, Field(ge=0, le=3660)]


class StartLoad(Args):
    """With a machine and a process of the book, or with a product, mixed or ready to use.
    `shown` is what the phone said that it must reach."""

    load: UUID
    process: BookId | None = None
    machine: UUID | None = None
    product: UUID | None = None
    solution: UUID | None = None
    sets: Annotated[list[InLoad], Field(min_length=1, max_length=60), AfterValidator(_steps_once)]
    started_at: ClockTime
    shown: Asked | None = None
    note: Text = ""


class EndLoad(Args):
    """`held_minutes` and `celsius` are what the machine showed."""

    end: UUID
    load: UUID
    ended_at: ClockTime
    held_minutes: Minutes | None = None
    celsius: Celsius | None = None
    indicator: Literal["passed", "failed", "not_read"] = "not_read"
    interrupted: bool = False
    note: Text = ""


class MixSolution(Args):
    solution: UUID
    product: UUID
    stock_percent: Percent
    target_ppm: Ppm
    volume_ml: FiniteFloat = Field(gt=0, le=100_000)
    mixed_at: ClockTime
    keeps_until: ClockTime
    note: Text = ""

    @model_validator(mode="after")
    def no_stronger_than_stock(self) -> Self:
        if self.target_ppm > self.stock_percent * 10_000:
            raise PydanticCustomError(
                "stronger_than_stock",
                "stronger than the stock",
                {
                    "text": "The mix cannot be stronger than the stock.",
                    "remedy": "Check the strength on the bottle and the strength you need.",
                },
            )
        return self


class ThrowAwaySolution(Args):
    solution: UUID
    at: ClockTime


class RecordMachineCheck(Args):
    """`shown_reaches_back` is what the phone's book says of the kind."""

    check: UUID
    machine: UUID
    kind: BookId
    tested_at: ClockTime
    read_at: ClockTime
    passed: bool
    shown_reaches_back: bool = True
    note: Text = ""


class ChangeStock(Args):
    change: UUID
    lot: UUID
    by: int = Field(ge=-100_000, le=100_000)
    at: ClockTime
    note: Text = ""


Found = Literal["done", "not_done", "not_needed"]


class SignChecklist(Args):
    checklist: UUID
    occasion: BookId
    items: Annotated[dict[BookId, Found], Field(min_length=1, max_length=100)]
    signed_at: ClockTime
    note: Text = ""


class UsedSet(BaseModel):
    """A set used on a client. `use` is the id of the use and of the step that it makes."""

    model_config = Part

    use: UUID
    set: UUID
    after: Steps
    at: ClockTime


class UsedItems(BaseModel):
    model_config = Part

    use: UUID
    lot: UUID
    count: int = Field(ge=1, le=1000)
    at: ClockTime


class UsedProduct(BaseModel):
    """A disinfectant used on surfaces at a client's."""

    model_config = Part

    use: UUID
    product: UUID
    solution: UUID | None = None
    at: ClockTime


class KitUsed(BaseModel):
    """What of the kit was used in a visit."""

    model_config = Part

    sets: Annotated[list[UsedSet], Field(max_length=20)] = []
    items: Annotated[list[UsedItems], Field(max_length=60)] = []
    products: Annotated[list[UsedProduct], Field(max_length=20)] = []

    @model_validator(mode="after")
    def uses_once(self) -> Self:
        told: list[UsedSet | UsedItems | UsedProduct] = [*self.sets, *self.items, *self.products]
        _each_once(one.use for one in told)
        return self


class GiveSet(Args, UsedSet):
    """Asks whether a set may be used on a client."""

    visit: UUID
    client: UUID
