"""What of intake goes to devices. Coordinators get of it the state of consents alone.

Where a device's clock ran ahead, its times go out as when the server had them: as they count.
"""

from collections.abc import Iterable
from datetime import datetime
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
    ReferralStep,
)
from heelwright.intake.records import happened_at
from heelwright.intake.referral_feed import ClearanceRow, ReferralRow, clearances, referrals

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
    ReferralStep,
    Clearance,
    ClearanceWithdrawal,
    Consent,
    ConsentWithdrawal,
):
    follows_client(_model)
