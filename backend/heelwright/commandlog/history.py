"""The transaction of a writer: the practice's lock at its start, a mark in its history at its end.

The lock makes the order of feed numbers the order of commits, so that no reader passes a later one
by. The mark makes numbers of a history that was lost, by a restored backup, tell themselves apart
from the same numbers given out anew.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from django.db import transaction

from heelwright.commandlog.models import FeedMark
from heelwright.ids import new_id
from heelwright.tenancy.models import Practice


@contextmanager
def writing(now: datetime, **which: Any) -> Iterator[Practice]:
    """The practice that `which` looks up, locked until the commit. Every writer comes this way."""
    with transaction.atomic():
        practice = Practice.objects.select_for_update(of=("self",)).get(**which)
        before = practice.feed_seq
        yield practice
        if practice.feed_seq > before:
            _mark(practice, now)


def _mark(practice: Practice, now: datetime) -> None:
    practice.feed_mark = new_id()
    practice.save(update_fields=["feed_seq", "feed_mark"])
    FeedMark.objects.create(
        practice=practice, seq=practice.feed_seq, mark=practice.feed_mark, made_at=now
    )
