"""The real server in this process: its whole WSGI application on a SQLite file, with the clock, the
ids and the moment of death given from outside."""

import base64
import io
import sqlite3
from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from django.conf import settings
from django.core.management import call_command
from django.core.wsgi import get_wsgi_application
from django.db import transaction

from heelwright import clock, ids
from heelwright.commandlog import registry
from heelwright.declarations import Command
from heelwright.sync import pull
from tests.simulator.threads import Job, Workers

BASE = "base"
START = datetime(2026, 11, 25, 8, tzinfo=UTC)
Json = dict[str, Any]


class Ids:
    """UUIDv7 in the order in which they are made, the same in every run."""

    def __init__(self) -> None:
        self.made = 0

    def uuid7(self) -> UUID:
        self.made += 1
        moment = int(clock.now().timestamp() * 1000)
        return UUID(int=moment << 80 | 7 << 76 | 2 << 62 | self.made)


class Snapshot:
    """A backup of the database, and of the count of what was carried out in it."""

    def __init__(self, applied: Counter[str]) -> None:
        self.database = sqlite3.connect(":memory:", check_same_thread=False)
        self.applied = Counter(applied)


class Server:
    def __init__(self) -> None:
        self.now = START
        clock.now = lambda: self.now
        self.ids = Ids()
        ids.uuid_utils = self.ids  # type: ignore[assignment,attr-defined]  # its only use is uuid7
        self.workers = Workers()
        self.jobs: dict[int, Job] = {}
        self.applied: Counter[str] = Counter()
        self.snapshots: dict[str, Snapshot] = {}
        call_command("migrate", verbosity=0)
        self.path = Path(str(settings.DATABASES["default"]["NAME"]))
        self.application = get_wsgi_application()
        self._count_what_is_carried_out()

    def fresh(self, page: int) -> None:
        self.crash()
        self.restore(BASE)
        for slot in [slot for slot in self.snapshots if slot != BASE]:
            self.snapshots.pop(slot).database.close()
        self.now = START
        self.ids.made = 1_000_000
        pull.PAGE = page

    def send(self, key: int, request: Json, pauses: bool, dies_at: int) -> Json:
        job = Job(lambda: self._answer(request), pauses, dies_at)
        self.jobs[key] = job
        self.workers.start(job)
        return self._told(key)

    def go(self, key: int) -> Json:
        self.jobs[key].go()
        return self._told(key)

    def crash(self) -> None:
        """The process ends and is started again: nothing of a request is left but what was
        committed."""
        self.workers.kill_all()
        self.jobs.clear()

    def back_up(self, slot: str) -> None:
        snapshot = Snapshot(self.applied)
        with sqlite3.connect(self.path) as source:
            source.backup(snapshot.database)
        source.close()
        self.snapshots[slot] = snapshot

    def restore(self, slot: str) -> None:
        snapshot = self.snapshots[slot]
        with sqlite3.connect(self.path) as target:
            snapshot.database.backup(target)
        target.close()
        self.applied = Counter(snapshot.applied)

    def _told(self, key: int) -> Json:
        job = self.jobs[key]
        if job.state == "killed":
            self.crash()
            return {"state": "killed"}
        if job.state == "done":
            del self.jobs[key]
            return {"state": "done", **job.result}
        return {"state": "paused"}

    def _answer(self, request: Json) -> Json:
        body = base64.b64decode(request["body"]) if request["packed"] else request["body"].encode()
        environ = {
            "REQUEST_METHOD": request["method"],
            "PATH_INFO": request["path"].partition("?")[0],
            "QUERY_STRING": request["path"].partition("?")[2],
            "SERVER_NAME": "localhost",
            "SERVER_PORT": "443",
            "REMOTE_ADDR": "127.0.0.1",
            "CONTENT_LENGTH": str(len(body)),
            "wsgi.url_scheme": "https",
            "wsgi.input": io.BytesIO(body),
            "wsgi.errors": io.StringIO(),
        }
        for name, value in request["headers"].items():
            word = name.upper().replace("-", "_")
            environ[word if word == "CONTENT_TYPE" else f"HTTP_{word}"] = value
        told: Json = {}

        def start(status: str, headers: list[tuple[str, str]], *_: Any) -> Any:
            told["status"], told["headers"] = int(status.split(maxsplit=1)[0]), headers

        reply = self.application(environ, start)
        try:
            told["body"] = base64.b64encode(b"".join(reply)).decode()
        finally:
            reply.close()
        return told

    def _count_what_is_carried_out(self) -> None:
        """Beside the server's own log: how often the effects of each command were committed."""
        for name, command in registry.commands().items():
            registry._commands[name] = replace(command, apply=self._counted(command))

    def _counted(self, command: Command) -> Any:
        def apply(act: Any, args: Any) -> None:
            command.apply(act, args)
            counted = str(act.record.pk)
            transaction.on_commit(lambda: self.applied.update([counted]))

        return apply
