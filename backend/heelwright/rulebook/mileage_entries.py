"""The entries of a book that tell of miles: the official rates of a place, and what its tax office
asks for.

The shape only. Nothing here says what a person may claim: that is for their tax office.
"""

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from heelwright.rulebook.entry import Entry, Id, Sourced

VehicleKind = Literal["car", "van", "motorcycle", "bicycle"]
Unit = Literal["mile", "km"]
# Written in quotation marks; more places than money has, since rates are told in parts of a cent.
Rate = Annotated[str, Field(pattern=r"^[0-9]{1,3}\.[0-9]{2,4}$")]
Day = Annotated[str, Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")]
MonthDay = Annotated[str, Field(pattern=r"^[0-9]{2}-[0-9]{2}$")]
Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$")]


class Tax(Entry):
    """What a place counts its taxes in, and the month and day on which its tax year begins."""

    year_starts: MonthDay
    unit: Unit
    currency: Currency

    @model_validator(mode="after")
    def is_a_day_of_each_year(self) -> Self:
        date.fromisoformat(f"2023-{self.year_starts}")
        return self


class Band(Entry):
    """Up to how far of a tax year a rate goes; the last band has no end. Beyond a cap it is 0."""

    up_to: int | None = Field(default=None, gt=0)
    rate: Rate


class MileageRate(Sourced):
    """A rate that counts from a day on, both ends included; without `until` it still does.

    `counted_by`: what of a tax year its bands count together: all of a person's vehicles of these
    kinds, or each vehicle by itself.
    """

    id: Id
    vehicles: Annotated[list[VehicleKind], Field(min_length=1)]
    from_: Day = Field(alias="from")
    until: Day | None = None
    counted_by: Literal["person", "vehicle"]
    bands: Annotated[list[Band], Field(min_length=1)]

    @model_validator(mode="after")
    def ends_after_it_begins(self) -> Self:
        if date.fromisoformat(self.from_) > date.fromisoformat(self.until or self.from_):
            raise ValueError("from is after until")
        return self

    @model_validator(mode="after")
    def bands_follow_each_other(self) -> Self:
        ends = [band.up_to for band in self.bands]
        if ends[-1] is not None or None in ends[:-1]:
            raise ValueError("only the last band has no up_to")
        known = [end for end in ends if end is not None]
        if known != sorted(set(known)):
            raise ValueError("each band ends further on than the one before")
        return self


class MileageNote(Sourced):
    """Something that a tax office asks for, or that a person has to ask it."""

    id: Id
