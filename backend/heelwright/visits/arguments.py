"""The shapes of a visit's start and of its record, and of what went wrong. Lengths in mm, speeds in
revolutions a minute."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat

from heelwright.commandlog.wire import Args, ClockTime, Day, Line, Text, Version
from heelwright.kit.arguments import KitUsed

Word = Annotated[str, Field(max_length=60)]
Words = Annotated[list[Word], Field(max_length=60)]
Millimetres = Annotated[FiniteFloat, Field(ge=0, le=200)]


class Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class BitUse(Part):
    """One bit used. `head_mm` is the largest diameter of its head."""

    family: Word
    head_mm: FiniteFloat = Field(gt=0, le=30)
    rpm: FiniteFloat = Field(ge=0, le=60_000)
    places: Words = []


class SoftenerUse(Part):
    product: Line
    urea_percent: FiniteFloat = Field(ge=0, le=100)
    placed_at: ClockTime
    removed_at: ClockTime | None = None
    places: Words = []


class CrackMeasure(Part):
    finding: Word
    foot: Literal["left", "right"]
    region: Word
    length_mm: Millimetres | None = None
    depth_mm: Millimetres | None = None
    length_after_mm: Millimetres | None = None
    depth_after_mm: Millimetres | None = None


class StartVisit(Args):
    """`seen_booking` is the version of the booking that the phone had."""

    visit: UUID
    booking: UUID
    seen_booking: Version | None = None
    client: UUID
    screen: UUID
    check: UUID
    consent: UUID
    started_at: ClockTime


class CompleteVisit(StartVisit):
    ended_at: ClockTime
    ended_early: Text = ""
    bits: list[BitUse] = Field(default=[], max_length=60)
    softeners: list[SoftenerUse] = Field(default=[], max_length=30)
    cracks: list[CrackMeasure] = Field(default=[], max_length=60)
    stop_signs: Words = []
    left_alone: Words = []
    work_done: Words = []
    note: Text = ""
    aftercare: Words = []
    weeks_until_next: int | None = Field(default=None, ge=1, le=104)
    kit: KitUsed = KitUsed()


class Told(Part):
    """Somebody who was told of a mishap, and when."""

    who: Literal["client", "family", "facility", "clinician", "emergency_services", "owner"]
    name: Line = ""
    at: ClockTime


ToldAll = Annotated[list[Told], Field(max_length=30)]


class ReportMishap(Args):
    """`visit` may be one that the server does not have yet; `kind` is an id of the book's list, or
    of another edition's. `follow_up_on` is the day to ask after the client. `visit_stopped` says
    that the visit stopped for it; an older app does not tell."""

    mishap: UUID
    client: UUID
    visit: UUID | None = None
    kind: Annotated[str, Field(min_length=1, max_length=60)]
    happened_at: ClockTime
    what_happened: Text = ""
    places: Words = []
    first_aid_given: Text = ""
    told: ToldAll = []
    follow_up_on: Day | None = None
    photo: UUID | None = None
    visit_stopped: bool = False


class AddToMishap(Args):
    """What came later, as a new `entry`. An `outcome` ends the follow-up, unless a new day is named
    with it."""

    mishap: UUID
    entry: UUID
    added_at: ClockTime
    note: Text = ""
    told: ToldAll = []
    follow_up_on: Day | None = None
    outcome: Text = ""


class CloseMishap(Args):
    """`seen` is the version that the person has read."""

    mishap: UUID
    entry: UUID
    note: Text = Field(min_length=1)
    seen: Version | None = None
