"""What a device must fetch: the rows in its person's scope that changed since its cursor.

Read in one snapshot. An owner sees the whole practice; others what they have access to, and of each
row the part their role sees. Scopes given since the cursor come whole; scopes taken since are
forgotten.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import connection, transaction
from pydantic import BaseModel

from heelwright import vault
from heelwright.commandlog import permissions, registry
from heelwright.commandlog.history import Heard, is_lost, place
from heelwright.commandlog.models import Access, FeedMark, FeedRow
from heelwright.declarations import Role
from heelwright.sync.cursor import Cursor
from heelwright.tenancy.models import Device, Practice

PAGE = 500


class PulledRow(BaseModel):
    """`row` is null where the row is gone."""

    kind: str
    id: UUID
    scope: UUID
    version: int
    row: dict[str, object] | None


class Pulled(BaseModel):
    """One page. `reset` tells the device to drop its rows first, `forget` to drop those of a
    scope; its outbox is touched by neither.

    `next_seq` is the number the server waits for, `now` its time, and `lease_seconds` how long the
    device may show records before it must hear from the server again. `heard` is for the next
    request; `lost` says that what the device has heard of is of a history that was lost.
    """

    device: UUID
    cursor: str
    more: bool
    reset: bool
    forget: list[UUID]
    rows: list[PulledRow]
    next_seq: int
    now: datetime
    lease_seconds: int
    heard: str
    lost: bool


@dataclass(frozen=True)
class Changes:
    """What a page brings, and the cursor after it."""

    after: Cursor
    more: bool = False
    reset: bool = False
    forget: list[UUID] = field(default_factory=list)
    rows: list[PulledRow] = field(default_factory=list)
    lost: bool = False


def pull(
    device: Device, cursor: Cursor | None, now: datetime, heard: Heard | None = None
) -> Pulled:
    """The next page for a device; no query when nothing has changed."""
    in_step = cursor is not None and _in_step(device.practice, cursor)
    if cursor is not None and in_step and heard in (None, place(device.practice)):
        return _page(device, Changes(cursor), now)
    with _snapshot(), vault.unit():
        device.refresh_from_db(fields=["last_seq"])
        device.practice.refresh_from_db(fields=["feed_seq", "feed_mark", "feed_floor"])
        changes = _changes(device, cursor)
        return _page(device, replace(changes, lost=is_lost(device.practice, heard)), now)


def _in_step(practice: Practice, cursor: Cursor) -> bool:
    newest = (practice.feed_seq, practice.feed_mark)
    return not cursor.paging and cursor.named == {newest}


@contextmanager
def _snapshot() -> Iterator[None]:
    """PostgreSQL reads each statement afresh unless told otherwise; SQLite's transaction is a
    snapshot. Neither waits for a writer. Inside a transaction of the caller's, that one's isolation
    holds."""
    with ExitStack() as reading:
        with _without_write_lock():
            reading.enter_context(transaction.atomic())
        if connection.vendor == "postgresql" and not connection.savepoint_ids:
            with connection.cursor() as sql:
                sql.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


@contextmanager
def _without_write_lock() -> Iterator[None]:
    """A transaction that begins here only reads: on SQLite it does not take the lock that the
    settings have all others take at their start."""
    wrapper: Any = connection
    if connection.vendor != "sqlite":
        yield
        return
    usual, wrapper.transaction_mode = wrapper.transaction_mode, "DEFERRED"
    try:
        yield
    finally:
        wrapper.transaction_mode = usual


def _changes(device: Device, cursor: Cursor | None) -> Changes:
    known = cursor is not None and _still_holds(device.practice, cursor)
    at = cursor if cursor is not None and known else Cursor()
    upper, mark = _upper(device.practice, at)
    entries = _entries(device, at, upper)
    if len(entries) > PAGE:
        entries = entries[:PAGE]
        after = Cursor(at.done, at.mark, upper, mark, place=entries[-1].seq)
    else:
        after = Cursor(done=upper, mark=mark)
    # What was written since the first page counts as more: the last page of a pull, which says how
    # far the server knows the device, holds the effects of all that it knows.
    more = after.paging or upper < device.practice.feed_seq
    forget = _taken_away(device, at.done) if known else []
    return Changes(after, more, not known, forget, _rows(device, entries))


def _upper(practice: Practice, at: Cursor) -> tuple[int, str]:
    """The number at which this answer is fixed, on all its pages, and that number's mark."""
    return (at.upper, at.upper_mark) if at.paging else (practice.feed_seq, str(practice.feed_mark))


def _still_holds(practice: Practice, cursor: Cursor) -> bool:
    """Whether the feed still knows all that came after a cursor: it is of this history, and no
    removal after it was trimmed away."""
    if 0 < cursor.done < practice.feed_floor:
        return False
    unknown = cursor.named - {(practice.feed_seq, practice.feed_mark)}
    marks = FeedMark.objects.filter(practice=practice, seq__in=[number for number, _ in unknown])
    return unknown <= set(marks.values_list("seq", "mark"))


def _entries(device: Device, at: Cursor, upper: int) -> list[FeedRow]:
    """The next entries in scope, one more than a page holds if there are more.

    What changed since the cursor is a range of the feed's numbers. Scopes given since come whole,
    by an index of their own, so that neither walks through what the device has.
    """
    rows = FeedRow.objects.filter(practice=device.practice, seq__lte=upper, seq__gt=at.place)
    since = rows.filter(seq__gt=at.done)
    if device.staff.role == Role.OWNER:
        return list(since.order_by("seq")[: PAGE + 1])
    access = Access.objects.filter(staff=device.staff, until=None)
    old = since.filter(scope__in=access.filter(since__lte=at.done).values("scope"))
    new = rows.filter(scope__in=access.filter(since__gt=at.done).values("scope"))
    found = [entry for part in (old, new) for entry in part.order_by("seq")[: PAGE + 1]]
    return sorted(found, key=lambda entry: entry.seq)[: PAGE + 1]


def _taken_away(device: Device, done: int) -> list[UUID]:
    if device.staff.role == Role.OWNER:
        return []
    gone = Access.objects.filter(staff=device.staff, until__gt=done)
    return list(gone.values_list("scope", flat=True))


def _rows(device: Device, entries: Iterable[FeedRow]) -> list[PulledRow]:
    role = Role(device.staff.role)
    seen = [entry for entry in entries if permissions.may_see(entry.kind, role)]
    ids: dict[str, list[UUID]] = defaultdict(list)
    for entry in seen:
        if entry.gone_at is None:
            ids[entry.kind].append(entry.row_id)
    vault.prefetch({entry.scope for entry in seen})
    loaded = {
        (kind, row_id): row
        for kind, wanted in ids.items()
        for row_id, row in registry.kinds()[kind].load(wanted)
    }
    return [_pulled(entry, loaded.get((entry.kind, entry.row_id)), role) for entry in seen]


def _pulled(entry: FeedRow, row: BaseModel | None, role: Role) -> PulledRow:
    part = None
    if row is not None:
        part = permissions.visible(entry.kind, role, row.model_dump(mode="json"))
    if part is not None:
        part["id"] = str(entry.row_id)
    return PulledRow(
        kind=entry.kind, id=entry.row_id, scope=entry.scope, version=entry.seq, row=part
    )


def _page(device: Device, changes: Changes, now: datetime) -> Pulled:
    return Pulled(
        device=device.pk,
        cursor=changes.after.write(),
        more=changes.more,
        reset=changes.reset,
        forget=changes.forget,
        rows=changes.rows,
        next_seq=device.last_seq + 1,
        now=now,
        lease_seconds=device.practice.lease_seconds,
        heard=place(device.practice),
        lost=changes.lost,
    )
