"""What one request costs the server: statements, bytes and processor time, counted in this process.

Statements and bytes are the same on any machine. The database's own time is read from its process,
where it has one.
"""

import gzip
import json
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import median
from typing import Any, TypeVar

from heelwright.commandlog.protocol import PROTOCOL
from tests.system.device import Device, Json

T = TypeVar("T")
Statement = tuple[str, Any]


@dataclass(frozen=True)
class Cost:
    """Of one operation, which may be several requests. Bytes are of the replies, or for a push of
    what is sent; milliseconds are of this process and of the database's."""

    requests: int
    statements: int
    rows: int
    size: int
    packed: int
    milliseconds: float
    database_milliseconds: float


class Clock:
    """Processor time of this process and of its database connection's."""

    def __init__(self) -> None:
        self._database = _database_seconds()
        self._server = time.process_time()

    def passed(self) -> tuple[float, float]:
        """Milliseconds since."""
        server = time.process_time() - self._server
        return server * 1000, (_database_seconds() - self._database) * 1000


def _database_seconds() -> float:
    """PostgreSQL serves each connection by a process of its own; SQLite runs in ours."""
    from django.db import connection

    if connection.vendor != "postgresql":
        return 0.0
    with connection.cursor() as sql:
        sql.execute("SELECT pg_backend_pid()")
        (process,) = sql.fetchone() or (0,)
    return processor_seconds(int(process))


def processor_seconds(process: int) -> float:
    """To the nanosecond; see the kernel's Documentation/scheduler/sched-stats."""
    return int(Path(f"/proc/{process}/schedstat").read_text().split()[0]) / 1e9


@cache
def application() -> Any:
    """One for all: each new one reads the middleware and the built app's files again."""
    from django.test import Client

    return Client()


def post(device: Device, path: str, body: Json, packed: bool = False) -> Any:
    """One request through everything but the socket; returns Django's response."""
    headers = {"Authorization": f"Bearer {device.token}", "Host": "localhost"}
    if packed:
        headers["Accept-Encoding"] = "gzip"
    text = json.dumps(body | {"protocol": PROTOCOL, "device": str(device.id)})
    answer = application().post(path, text, content_type="application/json", headers=headers)
    assert answer.status_code == 200, answer.content
    return answer


def pull(device: Device, cursor: str | None, packed: bool = False) -> Any:
    return post(device, "/api/pull", {"cursor": cursor}, packed)


def whole_pull(device: Device, cursor: str | None, packed: bool = False) -> list[Any]:
    """All pages from a cursor on."""
    answers = [pull(device, cursor, packed)]
    while (page := page_of(answers[-1]))["more"]:
        answers.append(pull(device, page["cursor"], packed))
    return answers


def cost_of_pull(device: Device, cursor: str | None, times: int) -> Cost:
    """Asks `times` times for the same; a pull changes nothing."""
    answers, sent = counted(lambda: whole_pull(device, cursor))
    spent = [_spent(lambda: whole_pull(device, cursor)) for _ in range(times)]
    packed = whole_pull(device, cursor, packed=True)
    return Cost(
        requests=len(answers),
        statements=len(sent),
        rows=sum(len(page_of(answer)["rows"]) for answer in answers),
        size=_size(answers),
        packed=_size(packed),
        milliseconds=median(server for server, _ in spent),
        database_milliseconds=sum(database for _, database in spent) / times,
    )


def cost_of_push(device: Device, batches: Iterable[list[Json]]) -> Cost:
    """The commands of one phone, a delivery a batch."""
    deliveries = [{"commands": batch} for batch in batches]
    clock = Clock()
    answers, sent = counted(lambda: [post(device, "/api/push", body) for body in deliveries])
    server, database = clock.passed()
    results = [result for answer in answers for result in answer.json()["results"]]
    assert {result["status"] for result in results} == {"applied"}, results[:3]
    bodies = [json.dumps(body).encode() for body in deliveries]
    return Cost(
        requests=len(deliveries),
        statements=len(sent),
        rows=len(results),
        size=sum(len(body) for body in bodies),
        packed=sum(len(gzip.compress(body)) for body in bodies),
        milliseconds=server,
        database_milliseconds=database,
    )


def counted(ask: Callable[[], T]) -> tuple[T, tuple[Statement, ...]]:
    """What `ask` returns, and every statement it sent; commits are not seen from here."""
    from django.db import connection

    sent: list[Statement] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        sent.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        returned = ask()
    return returned, tuple(sent)


def _spent(ask: Callable[[], object]) -> tuple[float, float]:
    clock = Clock()
    ask()
    return clock.passed()


def _size(answers: Iterable[Any]) -> int:
    return sum(len(answer.content) for answer in answers)


def page_of(answer: Any) -> Json:
    packed = answer.headers.get("Content-Encoding") == "gzip"
    return dict(json.loads(gzip.decompress(answer.content) if packed else answer.content))
