"""The transaction of a writer: the practice's lock at its start, a mark in its history at its end.

The lock makes the order of feed numbers the order of commits, so that no reader passes a later one
by. The mark makes numbers of a history that was lost, by a restored backup, tell themselves apart
from the same numbers given out anew.

A device is told with each reply how far the history goes (`place`), and names that with its next
request. Where the server does not know it, the device's receipts since may be of the lost history.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Annotated, Any
from uuid import UUID

from django.db import transaction
from pydantic import StringConstraints

from heelwright.commandlog.models import FeedMark
from heelwright.ids import new_id
from heelwright.tenancy.models import Practice

UUID_TEXT = "[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}"
# Practice, number and mark. Opaque to the device.
Heard = Annotated[str, StringConstraints(pattern=f"^{UUID_TEXT}/[0-9]{{1,15}}/{UUID_TEXT}$")]


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


def place(practice: Practice) -> Heard:
    """How far the history of a practice goes."""
    return f"{practice.pk}/{practice.feed_seq}/{practice.feed_mark}"


def written_at(practice: Practice, heard: Heard | None) -> datetime | None:
    """When the newest was written that a device has heard of; None where that can't be told."""
    if heard is None:
        return None
    of, seq, mark = heard.split("/")
    marks = FeedMark.objects.filter(practice=practice, seq=int(seq), mark=UUID(mark))
    return marks.values_list("made_at", flat=True).first() if UUID(of) == practice.pk else None


def is_lost(practice: Practice, heard: Heard | None) -> bool:
    """Whether a device has heard what this server never said, or said in a history since lost."""
    if heard is None or heard == place(practice):
        return False
    of, seq, mark = heard.split("/")
    # Of another practice, whose device this phone was before, nothing can be lost here.
    if UUID(of) != practice.pk:
        return False
    return not FeedMark.objects.filter(practice=practice, seq=int(seq), mark=UUID(mark)).exists()
