"""The shapes of the write path on the wire: the envelope of a command and the receipt it gets."""

from datetime import UTC, date, datetime, time
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    ValidationInfo,
)
from pydantic_core import PydanticCustomError

from heelwright.commandlog.device_clock import CLOCKS_BEGIN, EARLIEST, LATEST, Telling

Status = Literal["applied", "already_applied", "refused", "held_back"]


def plausible(moment: datetime) -> datetime:
    """A moment of work can't lie before there was this app; a year of 1900 is a slip."""
    if moment < EARLIEST:
        raise PydanticCustomError(
            "date_too_early",
            "too early",
            {"text": "This date is too long ago.", "remedy": "Check the date and the year."},
        )
    if moment >= LATEST:
        raise PydanticCustomError(
            "date_too_late",
            "too late",
            {"text": "This date is too far ahead.", "remedy": "Check the date and the year."},
        )
    return moment


def plausible_day(day: date) -> date:
    """A day of the practice, as `plausible`."""
    plausible(datetime.combine(day, time(), UTC))
    return day


def by_the_clock(moment: datetime, info: ValidationInfo) -> datetime:
    """What a device's clock said. Of one that has lost its time, as it counts by the command's own
    time, which is in the context."""
    if isinstance(info.context, Telling) and CLOCKS_BEGIN <= moment < EARLIEST:
        return info.context.reckoned(moment)
    return plausible(moment)


Moment = Annotated[AwareDatetime, AfterValidator(plausible)]
Day = Annotated[date, AfterValidator(plausible_day)]
ClockTime = Annotated[AwareDatetime, AfterValidator(by_the_clock)]
Line = Annotated[str, StringConstraints(max_length=200)]
Text = Annotated[str, StringConstraints(max_length=4000)]
Version = Annotated[int, Field(ge=0, lt=2**53)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=120)]
# By the clock of the practice, as HH:MM.
TimeOfDay = Annotated[str, StringConstraints(pattern=r"^([01][0-9]|2[0-3]):[0-5][0-9]$")]


def on_the_calendar(moment: datetime) -> datetime:
    """A year that every database and time zone can hold. Whether it is likely, `receive` says."""
    if not 1900 <= moment.year <= 2200:
        raise PydanticCustomError(
            "wrong_type",
            "off the calendar",
            {"text": "This is not a date.", "remedy": "Set the date of the device."},
        )
    return moment


class Args(BaseModel):
    """Base of every command's arguments: strict about names, so that a slip is told and not
    dropped."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


class Envelope(BaseModel):
    """One command as a device sends it. `seq` counts from 1 without gaps on each device."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: UUID
    seq: int = Field(ge=1, lt=2**53)
    name: str = Field(min_length=1, max_length=60)
    args: dict[str, Any]
    made_at: Annotated[AwareDatetime, AfterValidator(on_the_calendar)]
    rulebook: str = Field(pattern=r"^[0-9A-Za-z.-]{0,64}$")


class AboutOut(BaseModel):
    """A row on the feed."""

    kind: str
    id: UUID


class RefusalOut(BaseModel):
    """`about` is the row that stands in the way, such as the other booking of a double booking."""

    code: str
    field: str | None = None
    text: str
    remedy: str
    about: AboutOut | None = None


class Receipt(BaseModel):
    """What became of one command. The same for every delivery of it, but for `already_applied`."""

    id: UUID
    seq: int
    status: Status
    refusal: RefusalOut | None = None
    incidents: list[UUID] = []
