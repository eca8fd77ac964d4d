"""The shapes of the commands about bookings, as devices send them."""

from datetime import date
from typing import Annotated, Literal, Self
from uuid import UUID

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Day, Line, Moment, Text, TimeOfDay, Version
from heelwright.people.arguments import Skills
from heelwright.people.times import Span, one_each_day, ordered
from heelwright.places.position import Position
from heelwright.schedule.rules.objections import Code, minute_of
from heelwright.schedule.rules.repeats import MOST_TIMES, RULE

LONGEST_MINUTES = 8 * 60
MOST_VISITS = 200

Minutes = Annotated[int, Field(ge=5, le=LONGEST_MINUTES)]
Place = Literal["home", "facility"]
# Ids of the book's services; empty where none was chosen.
Service = Annotated[str, Field(max_length=40, pattern=r"^([a-z][a-z0-9_]*)?$")]

# What speaks against the time, and was seen by a person who means it all the same.
Meant = Annotated[list[Code], Field(max_length=20)]

# Why a visit was called off before anybody set out. `not_ready` tells no more than a coordinator is
# told of a resident whom nobody may work on yet.
CancelCode = Literal[
    "client_asked",
    "unwell",
    "in_hospital",
    "moved_away",
    "died",
    "not_ready",
    "technician_away",
    "mistake",
    "other",
]
# Why nothing was done at the door.
NotSeenCode = Literal[
    "not_in",
    "no_access",
    "asleep",
    "refused",
    "unwell",
    "in_hospital",
    "not_ready",
    "no_time",
    "other",
]


class BookVisit(Args):
    booking: UUID
    client: UUID
    staff: UUID
    starts_at: Moment
    minutes: Minutes
    place: Place
    service: Service = ""
    meant: Meant = []


class MoveBooking(Args):
    booking: UUID
    seen: Version
    starts_at: Moment
    minutes: Minutes
    staff: UUID
    meant: Meant = []


class ArrangedVisit(Args):
    """Where one visit is to stand. `seen` is the version of the booking that is moved; null for one
    that is new."""

    booking: UUID
    seen: Version | None = None
    client: UUID
    staff: UUID
    starts_at: Moment
    minutes: Minutes
    place: Place
    service: Service = ""


class ArrangeVisits(Args):
    visits: list[ArrangedVisit] = Field(min_length=1, max_length=MOST_VISITS)
    meant: Meant = []


class RepeatedVisit(Args):
    booking: UUID
    starts_at: Moment


class BookSeries(Args):
    """Visits that repeat: the rule of RFC 5545 and its first day, and the visits that the phone has
    made of them, for the server to compare with its own."""

    series: UUID
    client: UUID
    staff: UUID
    first: Day
    clock: TimeOfDay
    rule: Annotated[str, Field(max_length=200, pattern=RULE)]
    left_out: list[date] = Field(default=[], max_length=MOST_TIMES)
    visits: list[RepeatedVisit] = Field(min_length=1, max_length=MOST_TIMES)
    minutes: Minutes
    place: Place
    service: Service = ""
    meant: Meant = []


class PlanRound(Args):
    """The stops of a round in their order, with whatever else of the day is moved. `seen` is the
    version of the round that is changed; null for a new one."""

    round: UUID
    seen: Version | None = None
    facility: UUID
    day: Day
    note: Text = ""
    visits: list[ArrangedVisit] = Field(min_length=1, max_length=MOST_VISITS)
    meant: Meant = []


class CloseRound(Args):
    round: UUID
    seen: Version
    note: Text = ""


class SeenBooking(Args):
    booking: UUID
    seen: Version


class CancelSeries(Args):
    """Call off several visits of one series, such as one and all later ones."""

    series: UUID
    visits: list[SeenBooking] = Field(min_length=1, max_length=MOST_TIMES)
    code: CancelCode
    reason: Text = ""


class CancelRound(Args):
    """With every stop that still stands."""

    round: UUID
    seen: Version
    stops: list[SeenBooking] = Field(max_length=MOST_VISITS)
    code: CancelCode
    reason: Text = ""


class CancelBooking(Args):
    """Why, as a code and in words: of the two, apps of before know the words alone."""

    booking: UUID
    seen: Version
    code: CancelCode | Literal[""] = ""
    reason: Text = ""


class RecordNotSeen(Args):
    booking: UUID
    code: NotSeenCode
    reason: Text = ""


class Break(Args):
    """A rest of some minutes, taken whole between two times of day."""

    earliest: TimeOfDay
    latest: TimeOfDay
    minutes: int = Field(ge=5, le=240)

    @model_validator(mode="after")
    def has_room(self) -> Self:
        if minute_of(self.latest) - minute_of(self.earliest) < self.minutes:
            raise _slip("The break is longer than the time it may take.", "Let it end later.")
        return self


class WorkingDay(Span):
    breaks: list[Break] = Field(default=[], max_length=3)


WorkingDays = Annotated[list[WorkingDay], Field(max_length=7), one_each_day]


class SetWorkingWeek(Args):
    """When a technician works, day by day, and what they can do, in the practice's own words."""

    staff: UUID
    seen: Version
    days: WorkingDays
    skills: Skills = []


class SetBase(Args):
    """Where a technician's days begin and end; null to forget it."""

    staff: UUID
    seen: Version
    position: Position | None


class AddTimeOff(Args):
    """Days on which a technician makes no visits, or, without one, nobody of the practice."""

    time_off: UUID
    staff: UUID | None
    first: date
    last: date
    name: Line = ""

    @model_validator(mode="after")
    def is_a_span(self) -> Self:
        ordered(self.first, self.last)
        return self


class RemoveTimeOff(Args):
    time_off: UUID


def _slip(text: str, remedy: str) -> PydanticCustomError:
    return PydanticCustomError(
        "wrong_order", "slip", {"text": text, "remedy": remedy, "field": "latest"}
    )
