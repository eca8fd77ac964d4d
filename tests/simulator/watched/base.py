"""Django's SQLite backend, whose connections tell the job of their thread what they are about to
do, see `tests.simulator.threads`."""

from typing import Any

from django.db.backends.sqlite3 import base

from tests.simulator.threads import job_here


class DatabaseWrapper(base.DatabaseWrapper):
    """A transaction's begin is a place to pause at; each statement and each commit, one to die."""

    def _start_transaction_under_autocommit(self) -> None:
        if job := job_here():
            job.pause()
        super()._start_transaction_under_autocommit()  # type: ignore[misc]  # not in the stubs

    def create_cursor(self, name: str | None = None) -> Any:
        if job := job_here():
            job.statement(self.connection)
        return super().create_cursor(name)

    def _commit(self) -> None:
        if job := job_here():
            job.statement(self.connection)
        super()._commit()  # type: ignore[misc]  # not in the stubs
