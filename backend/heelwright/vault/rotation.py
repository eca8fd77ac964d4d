"""Rewrapping every data key under the current key-encrypting key. Values are not touched.

Small transactions, in the order of ids; stopped anywhere, the next run takes up what is left.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from django.db import router, transaction

from heelwright.vault.datakeys import key_context
from heelwright.vault.errors import SealBroken
from heelwright.vault.keyring import KeyWrapper, Wrapped
from heelwright.vault.models import DataKey


@dataclass(frozen=True, slots=True)
class Progress:
    """Counts so far. `failed` are data keys that no configured key opens."""

    rewrapped: int = 0
    failed: tuple[UUID, ...] = ()


def rotate(wrapper: KeyWrapper, batch: int) -> Iterator[Progress]:
    """Rewrap batch by batch; what has been reported is committed."""
    progress, after = Progress(), None
    while rows := _left(wrapper.current, after, batch):
        with transaction.atomic(using=router.db_for_write(DataKey)):
            done = [(row.pk, _rewrap(wrapper, row)) for row in rows]
        progress = Progress(
            progress.rewrapped + sum(well is True for _, well in done),
            progress.failed + tuple(pk for pk, well in done if well is None),
        )
        after = rows[-1].pk
        yield progress


def _left(current: str, after: UUID | None, batch: int) -> list[DataKey]:
    rows = DataKey.objects.exclude(kek_id=current).order_by("pk")
    if after is not None:
        rows = rows.filter(pk__gt=after)
    return list(rows[:batch])


def _rewrap(wrapper: KeyWrapper, row: DataKey) -> bool | None:
    """True when rewrapped, None when it does not open, False when it went away meanwhile."""
    context, old = key_context(row), Wrapped(row.kek_id, bytes(row.wrapped))
    try:
        secret = wrapper.unwrap(old, context)
    except SealBroken:
        return None
    new = wrapper.wrap(secret, context)
    if wrapper.unwrap(new, context) != secret:
        raise SealBroken("a rewrapped data key does not open; nothing of this batch was kept")
    # Only if nobody destroyed or rewrapped it since it was read.
    unchanged = DataKey.objects.filter(pk=row.pk, kek_id=old.kek_id, wrapped=old.wrapped)
    return unchanged.update(kek_id=new.kek_id, wrapped=new.wrapped) == 1
