"""Visits on the feed, and what went wrong in them."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.registry import feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.visits.aftermath import follow_up, is_closed
from heelwright.visits.arguments import Told
from heelwright.visits.models import Mishap, MishapEntry, Visit


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


class MishapEntryRow(BaseModel):
    id: UUID
    staff: UUID
    added_at: datetime
    note: str
    told: list[Told]
    follow_up_on: date | None
    outcome: str
    closes: bool


class MishapRow(BaseModel):
    """`entries` in the order in which they came. `follow_up_on` is as it stands now, `told` who was
    told at first. `closed_at` is when it was closed, where it has not been opened again."""

    client: UUID
    staff: UUID
    rulebook: str
    visit: UUID | None
    kind: str
    happened_at: datetime
    what_happened: str
    places: list[str]
    first_aid_given: str
    told: list[Told]
    follow_up_on: date | None
    photo: UUID | None
    visit_stopped: bool = False
    entries: list[MishapEntryRow]
    closed_at: datetime | None


def mishaps(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for m in Mishap.objects.filter(pk__in=ids).prefetch_related("entries"):
        later = sorted(m.entries.all(), key=lambda entry: entry.number)
        row = MishapRow(
            client=m.client_id,
            staff=m.staff_id,
            rulebook=m.rulebook,
            visit=m.visit_ref,
            kind=m.kind,
            happened_at=m.counted(m.happened_at),
            what_happened=m.what_happened,
            places=m.places,
            first_aid_given=m.first_aid_given,
            told=m.told,
            follow_up_on=follow_up(m.follow_up_on, later),
            photo=m.photo,
            visit_stopped=m.visit_stopped,
            entries=[_entry(entry) for entry in later],
            closed_at=later[-1].added_at if is_closed(later) else None,
        )
        yield m.pk, row


def _entry(entry: MishapEntry) -> MishapEntryRow:
    return MishapEntryRow(
        id=entry.pk,
        staff=entry.staff_id,
        added_at=entry.added_at,
        note=entry.note,
        told=entry.told,
        follow_up_on=entry.follow_up_on,
        outcome=entry.outcome,
        closes=entry.closes,
    )


feed_kind(FeedKind("mishap", Mishap, MishapRow, lambda row: row.client_id, mishaps))
feed_kind(FeedKind("visit", Visit, VisitRow, lambda row: row.client_id, visits))
for _model in (Visit, Mishap, MishapEntry):
    follows_client(_model)
