"""Incidents on the feed: each goes to the technician it concerns and to the owner, or to the owner
alone."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.models import Incident
from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind


class IncidentRow(BaseModel):
    staff: UUID
    client: UUID | None
    about: str
    about_id: UUID
    code: str
    raised_at: datetime
    reasons: list[str]
    closed_at: datetime | None
    closing_note: str


def load(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for row in Incident.objects.filter(pk__in=ids):
        yield (
            row.pk,
            IncidentRow(
                staff=row.staff_id,
                client=row.client_ref,
                about=row.about,
                about_id=row.about_id,
                code=row.code,
                raised_at=row.raised_at,
                reasons=row.reasons,
                closed_at=row.closed_at,
                closing_note=row.closing_note,
            ),
        )


def scope(row: Incident) -> UUID:
    """An owner needs none. Of its own id nobody has access."""
    return row.pk if row.owners_only else row.staff_id


feed_kind(FeedKind("incident", Incident, IncidentRow, scope, load))
follows_client(Incident, "client_ref")
