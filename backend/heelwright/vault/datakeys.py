"""The data key of each subject: finding it, making it, destroying it.

Locks: making and destroying meet at the unique row of the subject, on any database; a key is never
made for a subject whose destruction has committed.
"""

import secrets
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any
from uuid import UUID

from django.apps import apps
from django.db import connections, router, transaction

from heelwright import clock, ids
from heelwright.vault import units
from heelwright.vault.configured import wrapper
from heelwright.vault.encoding import encode
from heelwright.vault.errors import DataKeyMissing, SealBroken, SubjectShredded
from heelwright.vault.kdf import KEY_BYTES
from heelwright.vault.keyring import Wrapped
from heelwright.vault.units import OpenedKey

if TYPE_CHECKING:
    from heelwright.vault.models import DataKey, Shredded


def key_context(row: "DataKey") -> bytes:
    """What a wrapped data key is bound to."""
    return encode("heelwright.datakey.1", row.pk, row.subject, row.practice_id)


def opened(subject: UUID) -> OpenedKey:
    """The subject's data key, to open what is sealed already."""
    key = _known(subject)
    if key is not None:
        return key
    if _shredded().objects.filter(subject=subject).exists():
        raise SubjectShredded("the data key of this subject was destroyed")
    raise DataKeyMissing("there is no data key for this subject")


def opened_or_made(practice: UUID, subject: UUID) -> OpenedKey:
    """The subject's data key, made now if this is the first value that is sealed for it."""
    key = _known(subject) or _make(practice, subject)
    if key.practice != practice:
        raise SealBroken("this subject belongs to another practice")
    return key


def prefetch(subjects: Iterable[UUID]) -> None:
    """Open the data keys of many subjects with one query, for the unit that is under way."""
    unit = units.current()
    if unit is None:
        raise RuntimeError("prefetch() keeps keys for a unit; open one: with vault.unit(): ...")
    missing = {subject for subject in subjects if unit.get(subject) is None}
    if missing:
        for row in _rows().objects.filter(subject__in=missing):
            unit.keep(_open(row))


def make(practice: UUID, subjects: Sequence[UUID]) -> None:
    """The data keys of many subjects that have none, in a few queries, for the unit that is under
    way."""
    rows = _rows()
    made = [_fresh(practice, subject) for subject in subjects]
    rows.objects.bulk_create(made, batch_size=500)
    unit = units.current()
    if unit is not None:
        using = connections[router.db_for_write(rows)]
        for row in made:
            unit.keep_once_committed(_open(row), using)


def shred(subject: UUID) -> None:
    """Destroy the subject's data key, for good, and leave a tombstone so that none is made again.

    A key row is put there first if there is none: one that another transaction is making right now
    is then waited for and destroyed as well.
    """
    rows, tombs = _rows(), _shredded()
    using = router.db_for_write(rows)
    with transaction.atomic(using=using):
        placeholder = rows(subject=subject, practice_id=subject, kek_id="", wrapped=b"")
        rows.objects.bulk_create([placeholder], ignore_conflicts=True)
        tombs.objects.bulk_create(
            [tombs(subject=subject, shredded_at=clock.now())], ignore_conflicts=True
        )
        rows.objects.filter(subject=subject).delete()
    unit = units.current()
    if unit is not None:
        unit.forget(subject)


def _known(subject: UUID) -> OpenedKey | None:
    unit = units.current()
    kept = unit.get(subject) if unit is not None else None
    if kept is not None:
        return kept
    row = _rows().objects.filter(subject=subject).first()
    if row is None:
        return None
    key = _open(row)
    if unit is not None:
        unit.keep(key)
    return key


def _make(practice: UUID, subject: UUID) -> OpenedKey:
    rows = _rows()
    using = router.db_for_write(rows)
    row = _fresh(practice, subject)
    with transaction.atomic(using=using):
        rows.objects.bulk_create([row], ignore_conflicts=True)
        if _shredded().objects.filter(subject=subject).exists():
            raise SubjectShredded("the data key of this subject was destroyed")
    key = _open(rows.objects.get(subject=subject))
    unit = units.current()
    if unit is not None:
        unit.keep_once_committed(key, connections[using])
    return key


def _fresh(practice: UUID, subject: UUID) -> "DataKey":
    row = _rows()(id=ids.new_id(), practice_id=practice, subject=subject, created_at=clock.now())
    held = wrapper().wrap(secrets.token_bytes(KEY_BYTES), key_context(row))
    row.kek_id, row.wrapped = held.kek_id, held.wrapped
    return row


def _open(row: "DataKey") -> OpenedKey:
    held = Wrapped(row.kek_id, bytes(row.wrapped))
    secret = wrapper().unwrap(held, key_context(row))
    return OpenedKey(row.pk, row.practice_id, row.subject, secret)


# Looked up when used: this package is imported before Django has its models, by the settings too.
def _rows() -> "type[DataKey]":
    model: Any = apps.get_model("vault", "DataKey")
    return model  # type: ignore[no-any-return]


def _shredded() -> "type[Shredded]":
    model: Any = apps.get_model("vault", "Shredded")
    return model  # type: ignore[no-any-return]
