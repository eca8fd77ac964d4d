"""What a device must fetch: the rows in its person's scope that changed since its cursor.

Read in one snapshot. An owner sees the whole practice; others what they have access to, and of each
row the part their role sees. Scopes given since the cursor come whole; scopes taken since are
forgotten.
"""

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from django.db import connection, transaction
from django.db.models import Q, QuerySet
from pydantic import BaseModel

from heelwright import vault
from heelwright.commandlog import permissions, registry
from heelwright.commandlog.models import Access, FeedRow
from heelwright.declarations import Role
from heelwright.sync.cursor import Cursor
from heelwright.tenancy.models import Device

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
    scope."""

    device: UUID
    epoch: UUID
    cursor: str
    more: bool
    reset: bool
    forget: list[UUID]
    rows: list[PulledRow]
    next_seq: int


def pull(device: Device, cursor: Cursor | None) -> Pulled:
    """The next page for a device; one query when nothing has changed."""
    epoch = str(device.practice.epoch)
    newest = device.practice.feed_seq
    reset = (
        cursor is None
        or cursor.epoch != epoch
        or max(cursor.done, cursor.upper, cursor.place) > newest
    )
    at = Cursor(epoch) if reset or cursor is None else cursor
    if not reset and not at.paging and at.done == newest:
        return _page(device, at, reset=False)
    with transaction.atomic(), vault.unit():
        _snapshot()
        return _changes(device, at, reset)


def _snapshot() -> None:
    """PostgreSQL reads each statement afresh unless told otherwise; SQLite's transaction is a
    snapshot. Inside a transaction of the caller's, that one's isolation holds."""
    if connection.vendor == "postgresql" and not connection.savepoint_ids:
        with connection.cursor() as sql:
            sql.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")


def _changes(device: Device, at: Cursor, reset: bool) -> Pulled:
    device.refresh_from_db(fields=["last_seq"])
    device.practice.refresh_from_db(fields=["feed_seq"])
    upper = at.upper if at.paging else device.practice.feed_seq
    entries = list(
        _in_scope(device, at.done, upper).filter(seq__gt=at.place).order_by("seq")[: PAGE + 1]
    )
    more = len(entries) > PAGE
    entries = entries[:PAGE]
    after = (
        Cursor(at.epoch, at.done, upper, entries[-1].seq) if more else Cursor(at.epoch, done=upper)
    )
    forget = [] if reset else _taken_away(device, at.done)
    return _page(device, after, reset, more, forget, _rows(device, entries))


def _in_scope(device: Device, done: int, upper: int) -> QuerySet[FeedRow]:
    rows = FeedRow.objects.filter(practice=device.practice, seq__lte=upper)
    if device.staff.role == Role.OWNER:
        return rows.filter(seq__gt=done)
    access = Access.objects.filter(staff=device.staff, until=None)
    old = access.filter(since__lte=done).values("scope")
    new = access.filter(since__gt=done).values("scope")
    return rows.filter(Q(scope__in=old, seq__gt=done) | Q(scope__in=new))


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


def _page(
    device: Device,
    after: Cursor,
    reset: bool,
    more: bool = False,
    forget: list[UUID] | None = None,
    rows: list[PulledRow] | None = None,
) -> Pulled:
    return Pulled(
        device=device.pk,
        epoch=device.practice.epoch,
        cursor=after.write(),
        more=more,
        reset=reset,
        forget=forget or [],
        rows=rows or [],
        next_seq=device.last_seq + 1,
    )
