"""What of intake goes to devices. Consents have `consent_feed`, referrals `referral_feed`.

Where a device's clock ran ahead, its times go out as when the server had them: as they count.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.intake import consent_feed, not_ready, signing_feed  # noqa: F401 - declare their kinds
from heelwright.intake.asked_before import needs
from heelwright.intake.evidence_record import ClientRecord
from heelwright.intake.models import (
    Clearance,
    ClearanceWithdrawal,
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
    """`asks` are the rules by which it asked for a clearance when it came."""

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
    from_screen: UUID | None
    confirmed: list[str]
    asked_rulebook: str
    asks: list[str] = []


class FootCheckRow(BaseModel):
    """`asks` likewise, with the screen that it names."""

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
    gone: list[str]
    asks: list[str] = []


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
            from_screen=s.from_screen,
            confirmed=s.confirmed or [],
            asked_rulebook=s.asked_rulebook,
            asks=sorted(needs(s.judgement)),
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
            gone=c.gone or [],
            asks=sorted(needs(c.judgement)),
        )
        yield c.pk, row


def _client(row: ClientRecord) -> UUID:
    return row.client_id


feed_kind(FeedKind("health_screen", HealthScreen, HealthScreenRow, _client, screens))
feed_kind(FeedKind("foot_check", FootCheck, FootCheckRow, _client, checks))
feed_kind(FeedKind("referral", Referral, ReferralRow, _client, referrals))
feed_kind(FeedKind("clearance", Clearance, ClearanceRow, _client, clearances))

for _model in (
    HealthScreen,
    FootCheck,
    ErrorMark,
    Referral,
    ReferralAnswer,
    ReferralStep,
    Clearance,
    ClearanceWithdrawal,
):
    follows_client(_model)
