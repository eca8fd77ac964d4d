"""What of consents goes to devices. Coordinators get of it what holds, and since when."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.intake.decided import ended_at, gives_leave_to_work
from heelwright.intake.models import Consent, ConsentSheet, ConsentWithdrawal


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
    counts: bool = True
    sheet: UUID | None = None
    ground: str = ""
    how: str = "drawn"
    language: str = "en"
    said: str = ""


def consents(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for c in Consent.objects.filter(pk__in=ids).select_related("withdrawal", "sheet"):
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
            counts=c.counts,
            **_of_the_sheet(c.sheet),
        )
        yield c.pk, row


def _of_the_sheet(sheet: ConsentSheet | None) -> dict[str, Any]:
    if sheet is None:
        return {}
    return {
        "sheet": sheet.pk,
        "ground": sheet.ground,
        "how": sheet.how,
        "language": sheet.language,
        "said": sheet.said,
    }


def _client(row: Consent) -> UUID:
    return row.client_id


# Older apps take every row of the kind `consent` for a consent to the work that was given.
feed_kind(FeedKind("consent", Consent, ConsentRow, _client, consents, of=gives_leave_to_work))
feed_kind(FeedKind("consent_choice", Consent, ConsentRow, _client, consents))

for _model in (Consent, ConsentSheet, ConsentWithdrawal):
    follows_client(_model)
