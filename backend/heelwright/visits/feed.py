"""Visits on the feed."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.visits.models import Visit


class VisitRow(BaseModel):
    """`record` is what was reported when the visit ended; empty before."""

    client: UUID
    staff: UUID
    rulebook: str
    booking: UUID | None
    screen: UUID | None
    check: UUID | None
    consent: UUID | None
    state: str
    started_at: datetime
    ended_at: datetime | None
    record: dict[str, Any]


def visits(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for v in Visit.objects.filter(pk__in=ids):
        row = VisitRow(
            client=v.client_id,
            staff=v.staff_id,
            rulebook=v.rulebook,
            booking=v.booking_id,
            screen=v.screen_id,
            check=v.foot_check_id,
            consent=v.consent_id,
            state=v.state,
            started_at=v.started_at,
            ended_at=v.ended_at,
            record=v.record,
        )
        yield v.pk, row


feed_kind(FeedKind("visit", Visit, VisitRow, lambda row: row.client_id, visits))
follows_client(Visit)
