"""The shapes of what is told of travel. Distances are in tenths of the vehicle's unit, estimates in
metres."""

from typing import Annotated, Self
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Day, Line, Name, Text, Version
from heelwright.rulebook.mileage_entries import Unit, VehicleKind
from heelwright.trips.rules.travel import Known, Purpose

# An odometer of six digits and a tenth.
Odometer = Annotated[int, Field(ge=0, le=9_999_999)]


class RegisterVehicle(Args):
    """Of whoever sends it."""

    vehicle: UUID
    kind: VehicleKind
    unit: Unit
    name: Name
    plate: Line = ""


class AmendVehicle(Args):
    """`seen` is the version that the person has read."""

    vehicle: UUID
    seen: Version
    name: Name
    plate: Line = ""
    given_up: bool = False


class Leg(BaseModel):
    """One way between two stops. `tenths` is None where nobody has said how far it was; `words` say
    more of the purpose."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)

    start: Line = ""
    end: Line = ""
    purpose: Purpose
    words: Line = ""
    estimated_m: int | None = Field(default=None, ge=0, le=5_000_000)
    tenths: int | None = Field(default=None, ge=0, le=50_000)
    known: Known


class RecordTravel(Args):
    """The whole of a day with one vehicle. `replaces` are earlier ones that it corrects."""

    travel: UUID
    vehicle: UUID
    day: Day
    odometer_start: Odometer | None = None
    odometer_end: Odometer | None = None
    legs: Annotated[list[Leg], Field(max_length=60)]
    note: Text = ""
    replaces: Annotated[list[UUID], Field(max_length=20)] = []

    @model_validator(mode="after")
    def corrects_another(self) -> Self:
        if self.travel in self.replaces:
            raise PydanticCustomError(
                "replaces_itself",
                "replaces itself",
                {
                    "text": "A day of travel cannot replace itself.",
                    "remedy": "Enter the correction again.",
                    "field": "replaces",
                },
            )
        return self

    @model_validator(mode="after")
    def runs_forward(self) -> Self:
        start, end = self.odometer_start, self.odometer_end
        if start is not None and end is not None and end < start:
            raise PydanticCustomError(
                "odometer_runs_back",
                "the odometer runs back",
                {
                    "text": "The odometer shows less at the end than at the start.",
                    "remedy": "Check both readings.",
                    "field": "odometer_end",
                },
            )
        return self
