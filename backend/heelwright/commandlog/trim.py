"""Trims a practice's feed: what tells of removals long past goes, and the floor rises above it.

A device that comes back from below the floor fetches its rows afresh; its outbox is taken as ever.
The floor rises first, then the rows below it go in small transactions. Stopped anywhere, the next
run takes up what is left.
"""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import F, Max, QuerySet
from django.db.models.expressions import Combinable

from heelwright.commandlog.history import writing
from heelwright.commandlog.models import Access, FeedMark, FeedRow

BATCH = 1000


def trim(practice_id: UUID, before: datetime, now: datetime) -> int:
    """Forget the removals and withdrawn scopes from before a day, and the marks of that history.
    Returns how many rows went."""
    floor = _raise_floor(practice_id, before, now)
    removed, taken, marks = _older(practice_id, before)
    return (
        _delete(removed.filter(seq__lte=floor))
        + _delete(taken.filter(until__lte=floor))
        + _delete(marks.filter(seq__lt=floor))
    )


def _older(
    practice: UUID, before: datetime
) -> tuple[QuerySet[FeedRow], QuerySet[Access], QuerySet[FeedMark]]:
    return (
        FeedRow.objects.filter(practice=practice, gone_at__lt=before),
        Access.objects.filter(practice=practice, closed_at__lt=before),
        FeedMark.objects.filter(practice=practice, made_at__lt=before),
    )


def _raise_floor(practice_id: UUID, before: datetime, now: datetime) -> int:
    """The number a device must have reached to miss nothing that goes."""
    removed, taken, marks = _older(practice_id, before)
    with writing(now, pk=practice_id) as practice:
        # Who stands exactly at a mark needs it; the present one stays, however old.
        past = marks.filter(seq__lt=practice.feed_seq)
        practice.feed_floor = max(
            practice.feed_floor,
            _newest(removed, "seq"),
            _newest(taken, "until"),
            _newest(past, F("seq") + 1),
        )
        practice.save(update_fields=["feed_floor"])
        return practice.feed_floor


def _newest(rows: QuerySet[Any], number: str | Combinable) -> int:
    return rows.aggregate(newest=Max(number))["newest"] or 0


def _delete(rows: QuerySet[Any]) -> int:
    gone = 0
    while batch := list(rows.values_list("pk", flat=True)[:BATCH]):
        gone += rows.model._default_manager.filter(pk__in=batch).delete()[0]
    return gone
