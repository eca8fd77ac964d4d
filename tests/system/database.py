"""What the server's database holds, read past the server: the command log, and counts of rows."""

import sqlite3
from dataclasses import dataclass
from typing import Any, LiteralString
from uuid import UUID

import psycopg

from tests.services.served import ServedApp

QUERY = (
    "SELECT id, device_id, seq, name, status FROM commandlog_commandrecord ORDER BY device_id, seq"
)


@dataclass(frozen=True)
class Logged:
    id: str
    device: str
    seq: int
    name: str
    status: str


def ask(app: ServedApp, query: LiteralString) -> list[tuple[Any, ...]]:
    if app.database_url.startswith("sqlite"):
        with sqlite3.connect(app.database_url.removeprefix("sqlite:///")) as connection:
            return connection.execute(query).fetchall()
    with psycopg.connect(app.database_url) as server:
        return server.execute(query).fetchall()


def logged(app: ServedApp) -> list[Logged]:
    """Every entry of the command log; ids in their usual form on either database."""
    return [
        Logged(str(UUID(str(entry))), str(UUID(str(device))), *rest)
        for entry, device, *rest in ask(app, QUERY)
    ]


def logged_of(app: ServedApp, device: UUID) -> list[Logged]:
    return [entry for entry in logged(app) if entry.device == str(device)]


def change(app: ServedApp, statement: str) -> None:
    """Does to the database what no server of ours would do."""
    if app.database_url.startswith("sqlite"):
        with sqlite3.connect(app.database_url.removeprefix("sqlite:///"), timeout=20) as connection:
            connection.execute(statement)
    else:
        with psycopg.connect(app.database_url) as server:
            server.execute(statement.encode())
