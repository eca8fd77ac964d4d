"""What of intake goes to devices. Coordinators get of it the state of consents alone.

Where a device's clock ran ahead, its times go out as when the server had them: as they count.
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.intake.decided import ended_at
from heelwright.intake.models import (
    Clearance,
    ClearanceWithdrawal,
    ClientRecord,
    Consent,
    ConsentWithdrawal,
    ErrorMark,
    FootCheck,
    HealthScreen,
    Referral,
    ReferralAnswer,
)
from heelwright.intake.records import happened_at, withdrawal_of

Rows = Iterable[tuple[UUID, BaseModel]]


class HealthScreenRow(BaseModel):
    client: UUID
    staff: UUID
    rulebook: str
    screened_at: datetime
    answers: dict[str, Any]
    answered_by: str
    answered_by_name: str
    outcome: str
    entered_in_error: bool
    seen: list[UUID]


class FootCheckRow(BaseModel):
    client: UUID
    staff: UUID
    rulebook: str
    screen: UUID | None
    checked_at: datetime
    answers: dict[str, Any]
    findings: list[dict[str, Any]]
    outcome: str
    entered_in_error: bool
    seen: list[UUID]


class ReferralRow(BaseModel):
    """`level`, `refer_to` and `within` are the strictest of the rules that fired."""

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


class ConsentRow(BaseModel):
    client: UUID
    staff: UUID
    text_id: str
    text_hash: str
    signer_name: str
    signer_role: str
    authority: str
    witness: str
    presented: str
    own_wish: bool
    signed_at: datetime
    withdrawn_at: datetime | None
    withdrawn_reason: str
    purpose: str = "treatment"
    agreed: bool = True


def screens(ids: Iterable[UUID]) -> Rows:
    for s in HealthScreen.objects.filter(pk__in=ids).select_related("error_mark"):
        row = HealthScreenRow(
            client=s.client_id,
            staff=s.staff_id,
            rulebook=s.rulebook,
            screened_at=happened_at(s),
            answers=s.answers,
            answered_by=s.answered_by,
            answered_by_name=s.answered_by_name,
            outcome=s.judgement["outcome"],
            entered_in_error=hasattr(s, "error_mark"),
            seen=s.seen,
        )
        yield s.pk, row


def checks(ids: Iterable[UUID]) -> Rows:
    for c in FootCheck.objects.filter(pk__in=ids).select_related("error_mark"):
        row = FootCheckRow(
            client=c.client_id,
            staff=c.staff_id,
            rulebook=c.rulebook,
            screen=c.screen_id,
            checked_at=happened_at(c),
            answers=c.answers,
            findings=c.findings,
            outcome=c.judgement["outcome"],
            entered_in_error=hasattr(c, "error_mark"),
            seen=c.seen,
        )
        yield c.pk, row


def referrals(ids: Iterable[UUID]) -> Rows:
    slips = set(
        HealthScreen.objects.filter(pk__in=ids, error_mark__isnull=False).values_list(
            "pk", flat=True
        )
    ) | set(
        FootCheck.objects.filter(pk__in=ids, error_mark__isnull=False).values_list("pk", flat=True)
    )
    for r in Referral.objects.filter(pk__in=ids).prefetch_related("answers"):
        yield r.pk, _referral_row(r, r.pk in slips)


def _referral_row(r: Referral, slip: bool) -> ReferralRow:
    answers = sorted(r.answers.all(), key=lambda a: a.recorded_at)
    last = answers[-1] if answers else None
    asked = r.judgement["referral"]
    return ReferralRow(
        client=r.client_id,
        staff=r.staff_id,
        made_at=r.made_at,
        screen=r.pk if r.from_kind == "health_screen" else None,
        check=r.pk if r.from_kind == "foot_check" else None,
        level=r.judgement["outcome"],
        refer_to=asked["refer_to"],
        within=asked["within"],
        reasons=[rule["id"] for rule in r.judgement["fired"]],
        entered_in_error=slip,
        answered_on=last.answered_on if last else None,
        answer_recorded_at=answers[0].recorded_at if answers else None,
        clinician=last.clinician if last else "",
        clinician_role=last.clinician_role if last else "",
        answer=last.answer if last else "",
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
        )
        yield c.pk, row


def consents(ids: Iterable[UUID]) -> Rows:
    for c in Consent.objects.filter(pk__in=ids).select_related("withdrawal"):
        end = getattr(c, "withdrawal", None)
        row = ConsentRow(
            client=c.client_id,
            staff=c.staff_id,
            text_id=c.text_id,
            text_hash=c.text_hash,
            signer_name=c.signer_name,
            signer_role=c.signer_role,
            authority=c.authority,
            witness=c.witness,
            presented=c.presented,
            own_wish=c.own_wish,
            signed_at=c.counted(c.signed_at),
            withdrawn_at=ended_at(c) if c.agreed else None,
            withdrawn_reason=end.reason if end else "",
            purpose=c.purpose,
            agreed=c.agreed,
        )
        yield c.pk, row


def _client(row: ClientRecord) -> UUID:
    return row.client_id


def _to_the_work(row: Consent) -> bool:
    return row.agreed and row.purpose == "treatment"


feed_kind(FeedKind("health_screen", HealthScreen, HealthScreenRow, _client, screens))
feed_kind(FeedKind("foot_check", FootCheck, FootCheckRow, _client, checks))
feed_kind(FeedKind("referral", Referral, ReferralRow, _client, referrals))
feed_kind(FeedKind("clearance", Clearance, ClearanceRow, _client, clearances))
# Older apps take every row of the kind `consent` for a consent to the work that was given.
feed_kind(FeedKind("consent", Consent, ConsentRow, _client, consents, of=_to_the_work))
feed_kind(FeedKind("consent_choice", Consent, ConsentRow, _client, consents))

for _model in (
    HealthScreen,
    FootCheck,
    ErrorMark,
    Referral,
    ReferralAnswer,
    Clearance,
    ClearanceWithdrawal,
    Consent,
    ConsentWithdrawal,
):
    follows_client(_model)
