"""What of the links for a client's own phone goes to devices."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.models import CommandRecord
from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.intake.signing_models import SigningOffer, SigningOpening
from heelwright.tenancy.models import Device


class SigningOfferRow(BaseModel):
    """All but `offered_at` by the server's clock."""

    client: UUID
    staff: UUID
    offered_at: datetime
    open_until: datetime
    opened_at: datetime | None
    answered_at: datetime | None
    ended_at: datetime | None
    purposes: list[str]


def offers(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    found = list(SigningOffer.objects.filter(pk__in=ids).select_related("opening"))
    keys = [offer.pk for offer in found]
    ended = dict(Device.objects.filter(pk__in=keys).values_list("pk", "revoked_at"))
    answers = CommandRecord.objects.filter(device__in=keys)
    answered = dict(answers.values_list("device", "received_at"))
    for offer in found:
        opening = getattr(offer, "opening", None)
        row = SigningOfferRow(
            client=offer.client_id,
            staff=offer.staff_id,
            offered_at=offer.counted(offer.offered_at),
            open_until=offer.open_until,
            opened_at=opening.opened_at if opening else None,
            answered_at=answered.get(offer.pk),
            ended_at=ended[offer.pk],
            purposes=[one["purpose"] for one in offer.texts],
        )
        yield offer.pk, row


def _client(row: SigningOffer) -> UUID:
    return row.client_id


feed_kind(FeedKind("signing_offer", SigningOffer, SigningOfferRow, _client, offers))

for _model in (SigningOffer, SigningOpening):
    follows_client(_model)
