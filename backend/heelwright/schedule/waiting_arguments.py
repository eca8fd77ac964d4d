"""The shapes of what is told of the waiting list."""

from datetime import date
from typing import Literal, Self
from uuid import UUID

from pydantic import model_validator

from heelwright.commandlog.wire import Args, ClockTime, Text, Version
from heelwright.people.times import VisitTimes, ordered
from heelwright.schedule.arguments import Minutes


class Wish(Args):
    """A visit that a client waits for: on a day from `first` to `last`, null for any later one, at
    one of the `times` of the week, by `staff` alone where one is named."""

    first: date
    last: date | None
    times: VisitTimes
    minutes: Minutes
    staff: UUID | None

    @model_validator(mode="after")
    def is_a_span(self) -> Self:
        ordered(self.first, self.last or self.first)
        return self


class WaitForVisit(Wish):
    """Put a client on the waiting list, or change what they wait for. `seen` is the version of the
    entry that is changed; null for a new one. A note of null is left as it is."""

    waiting: UUID
    seen: Version | None = None
    client: UUID
    since: ClockTime
    note: Text | None = None


class StopWaiting(Args):
    waiting: UUID
    seen: Version
    code: Literal["booked_elsewhere", "no_longer", "other"]
