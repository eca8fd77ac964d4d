"""Threads that serve one request each and take turns: only one runs at any time.

A thread pauses where its request is about to begin a transaction, until it is told to go on; and it
dies at a given SQL statement, or at its pause, as in a process that is killed. SQLite holds one
writer at a time, so a pause inside a transaction would only make all others wait.
"""

import sqlite3
import threading
from collections.abc import Callable
from typing import Any

from django.db import connection, connections

Work = Callable[[], Any]
_of_thread = threading.local()


class Killed(BaseException):
    """The process has ended here. Not an Exception: nothing in the server may catch it."""


class Job:
    """One request on its way through the server."""

    def __init__(self, work: Work, pauses: bool, dies_at: int) -> None:
        self.work = work
        self.pauses = pauses
        self.dies_at = dies_at
        self.statements = 0
        self.state = "running"
        self.result: Any = None
        self._go = threading.Event()
        self._stopped = threading.Event()

    def go(self) -> None:
        """Let it run until it pauses, is done or has died."""
        self.state = "running"
        self._stopped.clear()
        self._go.set()
        self._stopped.wait()

    def kill(self) -> None:
        self.dies_at = 1
        if self.state == "paused":
            self.go()

    def stopped(self, state: str) -> None:
        self.state = state
        self._stopped.set()

    def pause(self) -> None:
        if self.pauses:
            self._go.clear()
            self.stopped("paused")
            self._go.wait()

    def statement(self, database: sqlite3.Connection) -> None:
        self.statements += 1
        if self.dies_at and self.statements >= self.dies_at:
            # Before Django's own clearing up, which must not save what a killed process would not.
            database.rollback()
            raise Killed


class Worker:
    """A thread with a database connection of its own, for one job after the other."""

    def __init__(self) -> None:
        self.job: Job | None = None
        self._given = threading.Event()
        threading.Thread(target=self._run, daemon=True).start()

    @property
    def free(self) -> bool:
        return self.job is None or self.job.state in {"done", "killed"}

    def start(self, job: Job) -> None:
        self.job = job
        self._given.set()
        job.go()

    def _run(self) -> None:
        while True:
            self._given.wait()
            self._given.clear()
            assert self.job is not None
            _of_thread.job = self.job
            self.job.stopped(self._outcome(self.job))

    def _outcome(self, job: Job) -> str:
        try:
            job.result = job.work()
        except Killed:
            _lose_connection()
            return "killed"
        finally:
            _of_thread.job = None
        return "done"


class Workers:
    def __init__(self) -> None:
        self._workers: list[Worker] = []

    def start(self, job: Job) -> None:
        worker = next((worker for worker in self._workers if worker.free), None)
        if worker is None:
            worker = Worker()
            self._workers.append(worker)
        worker.start(job)

    def kill_all(self) -> None:
        for worker in self._workers:
            if worker.job is not None and worker.job.state == "paused":
                worker.job.kill()


def _lose_connection() -> None:
    """Close the file without a word to Django, whose notes of the transaction are void."""
    connection.connection.close()
    del connections["default"]


def job_here() -> Job | None:
    """What the thread is at; None in the main thread, which nobody kills."""
    return getattr(_of_thread, "job", None)
