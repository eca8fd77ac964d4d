"""The shapes of what is asked, seen and answered."""

from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import BaseModel, ConfigDict, Field, FiniteFloat

from heelwright.commandlog.wire import Args, ClockTime, Day, Line, Name, Text
from heelwright.intake.rules import Level
from heelwright.intake.verdicts import Verdict

Answer = (
    bool
    | FiniteFloat
    | Annotated[str, Field(max_length=200)]
    | list[Annotated[str, Field(max_length=60)]]
)
Answers = Annotated[dict[Annotated[str, Field(max_length=60)], Answer], Field(max_length=400)]


class Finding(BaseModel):
    """Something seen at one place of a foot. Lengths in millimetres.

    `follows` is the id of the same thing in an earlier check, where the device knew of it. Where
    nobody `looked` for it again, it is told as it was there.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: Annotated[str, Field(max_length=60)]
    foot: Literal["left", "right"]
    view: Literal["top", "sole"]
    region: Annotated[str, Field(max_length=40)]
    what: Annotated[str, Field(max_length=40)]
    length_mm: FiniteFloat | None = Field(default=None, ge=0, le=200)
    depth_mm: FiniteFloat | None = Field(default=None, ge=0, le=50)
    state: Literal["closed", "open"] | None = None
    bleeding: bool | None = None
    oozing: bool | None = None
    note: Text = ""
    follows: Annotated[str, Field(max_length=60)] | None = None
    looked: bool = True

    def as_kept(self) -> dict[str, Any]:
        """Apps of before can't read a finding that says whether anybody looked, so it is said only
        where nobody did."""
        return self.model_dump(exclude={"looked"} if self.looked else None)


class RecordScreen(Args):
    """`confirmed` are the questions whose answers were said to be still so as `from_screen` has
    them; every other one was asked."""

    screen: UUID
    client: UUID
    answers: Answers
    answered_by: Literal["client", "family", "care_staff"]
    answered_by_name: Line = ""
    screened_at: ClockTime
    shown_outcome: Level
    seen_screens: list[UUID] = Field(default=[], max_length=50)
    from_screen: UUID | None = None
    confirmed: list[Annotated[str, Field(max_length=60)]] = Field(default=[], max_length=400)


class RecordFootCheck(Args):
    check: UUID
    client: UUID
    screen: UUID
    answers: Answers
    findings: list[Finding] = Field(max_length=200)
    checked_at: ClockTime
    shown_outcome: Level
    seen_checks: list[UUID] = Field(default=[], max_length=50)
    # Findings of the check before that are no longer there.
    gone: list[Annotated[str, Field(max_length=60)]] = Field(default=[], max_length=200)


class MarkEnteredInError(Args):
    what: Literal["health_screen", "foot_check"]
    row: UUID
    reason: Text = Field(min_length=3)


class RecordReferralAnswer(Args):
    referral: UUID
    clinician: Name
    clinician_role: Name
    answered_on: Day
    answer: Text = Field(min_length=1)
    # An app that knows of no verdict records an answer only where the work may go on.
    verdict: Verdict = "may"


class RecordReferralStep(Args):
    step: UUID
    referral: UUID
    what: Literal["printed", "handed_over", "acknowledged", "called_off"]
    how: Literal["client", "family", "facility", "post", "phone_call", ""] = ""
    to: Line = ""
    note: Text = ""
    done_at: ClockTime


BookId = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]


class ClearanceLimits(BaseModel):
    """What a clinician narrows, in the shape of a limit of the book. A place that is left out is
    not narrowed; a foot that is not covered is left alone."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    bits_allowed: list[BookId] | None = Field(default=None, max_length=60)
    max_rpm: dict[BookId, Annotated[int, Field(gt=0, le=60_000)]] = Field(default={}, max_length=60)
    softener: Literal["allowed", "none"] = "allowed"
    leave_alone: list[BookId] = Field(default=[], max_length=60)


class RecordClearance(Args):
    clearance: UUID
    client: UUID
    clinician: Name
    clinician_role: Name
    given_on: Day
    expires_on: Day
    covers: list[Annotated[str, Field(max_length=60)]] = Field(min_length=1, max_length=100)
    scope: Text = Field(min_length=1)
    limits: ClearanceLimits | None = None
    evidence_photo: UUID | None = None
    evidence_note: Text = ""


class WithdrawClearance(Args):
    clearance: UUID
    reason: Text = Field(min_length=1)
    withdrawn_at: ClockTime


def plain(answers: dict[str, Any]) -> dict[str, Any]:
    """Answers with whole numbers as integers, the one form in which both languages keep them."""
    return {
        key: int(value) if isinstance(value, float) and value.is_integer() else value
        for key, value in answers.items()
    }
