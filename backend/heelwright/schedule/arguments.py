"""The shapes of the commands about bookings, as devices send them."""

from typing import Annotated, Literal
from uuid import UUID

from pydantic import Field

from heelwright.commandlog.wire import Args, Moment, Text, Version

LONGEST_MINUTES = 8 * 60
MOST_VISITS = 200

Minutes = Annotated[int, Field(ge=5, le=LONGEST_MINUTES)]
Place = Literal["home", "facility"]
# Ids of the book's services; empty where none was chosen.
Service = Annotated[str, Field(max_length=40, pattern=r"^([a-z][a-z0-9_]*)?$")]

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


class MoveBooking(Args):
    booking: UUID
    seen: Version
    starts_at: Moment
    minutes: Minutes
    staff: UUID


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
