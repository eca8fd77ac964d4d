"""The data keys that were opened during one piece of work: a request, a task, a command run.

They are kept for its length and never beyond, so that many rows of one client cost one query.
Without a unit everything works, key by key.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import partial
from uuid import UUID

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from heelwright.vault.kdf import SealKeys, seal_keys


@dataclass(slots=True)
class OpenedKey:
    """A subject's data key in the open, with the column keys that were derived from it so far."""

    id: UUID
    practice: UUID
    subject: UUID
    secret: bytes = field(repr=False)
    _columns: dict[tuple[str, str], SealKeys] = field(default_factory=dict, repr=False)

    def for_column(self, table: str, column: str) -> SealKeys:
        name = (table, column)
        if name not in self._columns:
            self._columns[name] = seal_keys(self.secret, "column", table, column)
        return self._columns[name]


class Unit:
    """Opened keys by subject.

    A key that was made in a transaction still open counts only while its row does: were it used
    after a rollback, what it seals could never be opened again. Whether the row still counts is
    seen by the on-commit hook registered with it: a rollback, of a savepoint too, takes it away.
    """

    def __init__(self) -> None:
        self._kept: dict[UUID, OpenedKey] = {}
        self._uncommitted: dict[UUID, tuple[OpenedKey, BaseDatabaseWrapper, object]] = {}

    def get(self, subject: UUID) -> OpenedKey | None:
        if subject in self._uncommitted:
            key, connection, hook = self._uncommitted[subject]
            if any(hook in waiting for waiting in connection.run_on_commit):
                return key
            del self._uncommitted[subject]
        return self._kept.get(subject)

    def keep(self, key: OpenedKey) -> None:
        self._kept[key.subject] = key

    def keep_once_committed(self, key: OpenedKey, connection: BaseDatabaseWrapper) -> None:
        hook = partial(self._committed, key)
        self._uncommitted[key.subject] = (key, connection, hook)
        transaction.on_commit(hook, using=connection.alias)

    def forget(self, subject: UUID) -> None:
        self._kept.pop(subject, None)
        self._uncommitted.pop(subject, None)

    def _committed(self, key: OpenedKey) -> None:
        if self._uncommitted.pop(key.subject, None) is not None:
            self.keep(key)


_current: ContextVar[Unit | None] = ContextVar("heelwright_vault_unit", default=None)


def current() -> Unit | None:
    return _current.get()


@contextmanager
def unit() -> Iterator[None]:
    """Keep opened data keys until the end of the block. Inside another unit, that one goes on."""
    if _current.get() is not None:
        yield
        return
    token = _current.set(Unit())
    try:
        yield
    finally:
        _current.reset(token)
