"""Watches, to everyone who may help; papers, to whose they are and to the owner."""

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind
from heelwright.declarations import FeedKind
from heelwright.lone_work.arguments import What
from heelwright.lone_work.models import Paper, Watch

Rows = Iterable[tuple[UUID, BaseModel]]


class WatchRow(BaseModel):
    """`alarm`: none, sending, told or failed."""

    staff: UUID
    began_at: datetime
    back_by: datetime
    ended_at: datetime | None
    reach_at: str
    tell_name: str
    tell_email: str
    alarm: str
    alarm_at: datetime | None


class PaperRow(BaseModel):
    staff: UUID
    what: What
    name: str
    number: str
    expires_on: date | None


def watches(ids: Iterable[UUID]) -> Rows:
    for row in Watch.objects.filter(pk__in=ids):
        told = {field: getattr(row, field) for field in WatchRow.model_fields if field != "staff"}
        yield row.pk, WatchRow(staff=row.staff_id, **told)


def papers(ids: Iterable[UUID]) -> Rows:
    for row in Paper.objects.filter(pk__in=ids):
        told = {field: getattr(row, field) for field in PaperRow.model_fields if field != "staff"}
        yield row.pk, PaperRow(staff=row.staff_id, **told)


feed_kind(FeedKind("watch", Watch, WatchRow, lambda row: row.practice_id, watches))
feed_kind(FeedKind("paper", Paper, PaperRow, lambda row: row.staff_id, papers))
