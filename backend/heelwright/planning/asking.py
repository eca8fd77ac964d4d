"""What a plan is asked for, as a phone says it, and what comes back."""

from datetime import date, datetime
from typing import Literal, Self
from uuid import UUID

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from heelwright.commandlog.wire import Args, Moment
from heelwright.planning.rules.fortnight import Kept, Reason

MOST_DAYS = 14
MOST_STAFF = 20
MOST_NAMED = 500

Trouble = Literal["", "worker_lost", "not_begun", "too_much", "fault"]
State = Literal["waiting", "running", "done", "failed", "cancelled"]


class FixedVisit(Args):
    """A visit of an earlier proposal that stays as it was proposed."""

    client: UUID
    staff: UUID
    starts_at: Moment


class PlanAsked(Args):
    """The days, both included, and who makes the visits. `left_out` are clients who are not to be
    planned this time."""

    first: date
    last: date
    staff: list[UUID] = Field(min_length=1, max_length=MOST_STAFF)
    fixed: list[FixedVisit] = Field(default=[], max_length=MOST_NAMED)
    left_out: list[UUID] = Field(default=[], max_length=MOST_NAMED)

    @model_validator(mode="after")
    def two_weeks_at_most(self) -> Self:
        if not 0 <= (self.last - self.first).days < MOST_DAYS:
            raise PydanticCustomError(
                "wrong_days",
                "slip",
                {
                    "text": "These are not one to fourteen days.",
                    "remedy": "Choose a last day at most thirteen days after the first.",
                    "field": "last",
                },
            )
        return self

    @model_validator(mode="after")
    def each_fixed_once(self) -> Self:
        if len({one.client for one in self.fixed}) < len(self.fixed):
            raise PydanticCustomError(
                "named_twice",
                "slip",
                {
                    "text": "One client is kept at two times.",
                    "remedy": "Keep one time for each client.",
                    "field": "fixed",
                },
            )
        return self


class PlannedVisit(Args):
    """`booking` is the one that stands already; null for one that is proposed."""

    client: UUID
    booking: UUID | None
    starts_at: datetime
    minutes: int
    place: str
    service: str
    # FixedVisit when this plan was asked for.
    fixed: bool


class PlannedDay(Args):
    """`kept`: why nothing was added to this day."""

    staff: UUID
    day: date
    visits: list[PlannedVisit]
    breaks: list[datetime]
    ends_at: datetime
    seconds: int
    metres: int
    kept: Kept | None


class NotPlaced(Args):
    client: UUID
    reason: Reason


class PlannedDriving(Args):
    """Of so many visits, with those that are booked."""

    visits: int
    seconds: int
    metres: int


class Plan(Args):
    """`by_hand` is what the same visits come to where each is booked, as it falls due, at the first
    time that anybody has free. `without_hours` have no working week, and were not planned.
    `guessed`: the drives are of straight lines, and not by the roads."""

    days: list[PlannedDay]
    not_placed: list[NotPlaced]
    planned: PlannedDriving
    by_hand: PlannedDriving
    without_hours: list[UUID]
    guessed: bool


class RunTold(Args):
    """How a run stands. `percent` is how much of it is done."""

    run: UUID
    asked: PlanAsked
    asked_at: datetime
    state: State
    trouble: Trouble
    percent: int
    plan: Plan | None


class NewestRun(Args):
    run: RunTold | None
