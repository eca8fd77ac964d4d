"""How referrals and clearances look on the feed, which `feed.py` puts them on."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.intake.asked_before import needs
from heelwright.intake.facts import answers_by
from heelwright.intake.models import (
    Clearance,
    FootCheck,
    HealthScreen,
    Referral,
    ReferralAnswer,
    ReferralStep,
)
from heelwright.intake.records import withdrawal_of
from heelwright.intake.verdicts import released_at

Rows = Iterable[tuple[UUID, BaseModel]]


class StepRow(BaseModel):
    id: UUID
    what: str
    how: str
    to: str
    note: str
    done_at: datetime
    staff: UUID


class AnswerRow(BaseModel):
    clinician: str
    clinician_role: str
    answered_on: date
    recorded_at: datetime
    answer: str
    verdict: str
    written_at: datetime | None = None


class ReferralRow(BaseModel):
    """`level`, `refer_to` and `within` are the strictest of the rules that fired.

    `answer_recorded_at` is when an answer let the client go: null also while a clinician's no
    stands, which apps that do not read `answers` take for a referral that waits. `asks` are the
    reasons that ask for a clearance.
    """

    client: UUID
    staff: UUID
    made_at: datetime
    screen: UUID | None
    check: UUID | None
    level: str
    refer_to: str
    within: str
    reasons: list[str]
    entered_in_error: bool
    answered_on: date | None
    answer_recorded_at: datetime | None
    clinician: str
    clinician_role: str
    answer: str
    answers: list[AnswerRow] = []
    steps: list[StepRow] = []
    asks: list[str] = []


class ClearanceRow(BaseModel):
    client: UUID
    staff: UUID
    clinician: str
    clinician_role: str
    given_on: date
    expires_on: date
    covers: list[str]
    scope: str
    recorded_at: datetime
    withdrawn_at: datetime | None
    withdrawn_reason: str
    limits: dict[str, Any] | None = None
    evidence_photo: UUID | None = None
    evidence_note: str = ""


def referrals(ids: Iterable[UUID]) -> Rows:
    rows = list(Referral.objects.filter(pk__in=ids).prefetch_related("answers", "steps"))
    marked = {"pk__in": [r.record_id for r in rows], "error_mark__isnull": False}
    slips = {
        pk
        for model in (HealthScreen, FootCheck)
        for pk in model._default_manager.filter(**marked).values_list("pk", flat=True)
    }
    for r in rows:
        yield r.pk, _referral_row(r, r.record_id in slips)


def _referral_row(r: Referral, slip: bool) -> ReferralRow:
    answers = sorted(r.answers.all(), key=lambda a: a.counted(a.recorded_at))
    last = answers[-1] if answers else None
    now = max((a.received_at for a in answers), default=r.received_at)
    asked = r.judgement["referral"]
    return ReferralRow(
        client=r.client_id,
        staff=r.staff_id,
        made_at=r.made_at,
        screen=r.record_id if r.from_kind == "health_screen" else None,
        check=r.record_id if r.from_kind == "foot_check" else None,
        level=r.judgement["outcome"],
        refer_to=asked["refer_to"],
        within=asked["within"],
        reasons=[rule["id"] for rule in r.judgement["fired"]],
        asks=sorted(needs(r.judgement)),
        entered_in_error=slip,
        answered_on=last.answered_on if last else None,
        answer_recorded_at=released_at(answers_by(r, now)),
        clinician=last.clinician if last else "",
        clinician_role=last.clinician_role if last else "",
        answer=last.answer if last else "",
        answers=[_answer_row(a) for a in answers],
        steps=[_step_row(s) for s in sorted(r.steps.all(), key=lambda s: s.counted(s.done_at))],
    )


def _answer_row(a: ReferralAnswer) -> AnswerRow:
    return AnswerRow(
        clinician=a.clinician,
        clinician_role=a.clinician_role,
        answered_on=a.answered_on,
        recorded_at=a.counted(a.recorded_at),
        answer=a.answer,
        verdict=a.verdict or "may",
        written_at=a.written_at,
    )


def _step_row(s: ReferralStep) -> StepRow:
    return StepRow(
        id=s.pk,
        what=s.what,
        how=s.how,
        to=s.to,
        note=s.note,
        done_at=s.counted(s.done_at),
        staff=s.staff_id,
    )


def clearances(ids: Iterable[UUID]) -> Rows:
    for c in Clearance.objects.filter(pk__in=ids).prefetch_related("withdrawals"):
        end = withdrawal_of(c)
        row = ClearanceRow(
            client=c.client_id,
            staff=c.staff_id,
            clinician=c.clinician,
            clinician_role=c.clinician_role,
            given_on=c.given_on,
            expires_on=c.expires_on,
            covers=c.covers,
            scope=c.scope,
            recorded_at=c.counted(c.recorded_at),
            withdrawn_at=end.ends_at if end else None,
            withdrawn_reason=end.reason if end else "",
            limits=c.limits,
            evidence_photo=c.evidence_photo,
            evidence_note=c.evidence_note or "",
        )
        yield c.pk, row
