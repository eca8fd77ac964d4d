"""A practice of many rows, most of them put in by SQL: a million would take hours through commands.

What is put in are whole rows of light kinds: clients with their data keys, bookings, who has access
to them, their entries on the feed and the marks of its history. Each is a copy of a real one under
a new id, so the sealed parts of a copy can't be opened; the pulls that are measured never fetch
them. What they do fetch was entered by commands.
"""

from dataclasses import dataclass, field

import psycopg
from psycopg import Cursor, sql

BOOKINGS_A_CLIENT = 49
COLLEAGUES = 20
NUMBERS_A_MARK = 3
CLIENT = "md5('client' || {})::uuid"
BOOKING = "md5('booking' || n)::uuid"
COLLEAGUE = f"md5('colleague' || n % {COLLEAGUES})::uuid"


@dataclass(frozen=True)
class Copies:
    """So many copies of one row of a table; `changed` maps a column to an expression of `n`."""

    table: str
    count: int
    changed: dict[str, str] = field(default_factory=dict)
    first: int = 1


def grow(database_url: str, feed_rows: int) -> None:
    """Brings the only practice of a PostgreSQL database to so many entries on its feed."""
    with psycopg.connect(database_url) as connection, connection.cursor() as cursor:
        # Every copy names rows that are there; to have a million of them checked takes minutes.
        cursor.execute("SET session_replication_role = replica")
        cursor.execute("SELECT count(*) FROM commandlog_feedrow")
        (there,) = cursor.fetchone() or (0,)
        cursor.execute("SELECT feed_seq FROM tenancy_practice")
        (newest,) = cursor.fetchone() or (0,)
        for copies in _copies(feed_rows - there, newest):
            _insert(cursor, copies)
        cursor.execute(
            "UPDATE tenancy_practice SET feed_seq = mark.seq, feed_mark = mark.mark FROM"
            " (SELECT seq, mark FROM commandlog_feedmark ORDER BY seq DESC LIMIT 1) AS mark"
        )
    with psycopg.connect(database_url, autocommit=True) as connection:
        # As autovacuum does, in its own time.
        connection.execute("VACUUM ANALYZE")


def _copies(rows: int, newest: int) -> list[Copies]:
    clients = rows // (BOOKINGS_A_CLIENT + 1)
    bookings = rows - clients
    client, of_booking = CLIENT.format("n"), CLIENT.format(f"(n % {clients} + 1)")
    colleague = {"id": COLLEAGUE, "email": "'colleague' || n || '@practice.test'"}
    entry = {"kind": "'client'", "row_id": client, "scope": client, "seq": f"{newest} + n"}
    booked = {"kind": "'booking'", "row_id": BOOKING, "scope": of_booking}
    return [
        Copies("tenancy_staff", COLLEAGUES, colleague, first=0),
        Copies("vault_datakey", clients, {"id": client, "subject": client}),
        Copies("people_client", clients, {"id": client}),
        Copies(
            "commandlog_access",
            clients,
            {"staff_id": COLLEAGUE, "scope": client, "since": f"{newest} + n", "until": "NULL"},
        ),
        Copies("schedule_booking", bookings, {"id": BOOKING, "client_id": of_booking}),
        Copies("commandlog_feedrow", clients, entry),
        Copies("commandlog_feedrow", bookings, booked | {"seq": f"{newest} + {clients} + n"}),
        Copies(
            "commandlog_feedmark",
            -(-rows // NUMBERS_A_MARK),
            {"seq": f"{newest} + n * {NUMBERS_A_MARK}", "mark": "md5('mark' || n)::uuid"},
        ),
    ]


def _insert(cursor: Cursor[tuple[object, ...]], copies: Copies) -> None:
    cursor.execute(
        "SELECT column_name FROM information_schema.columns"
        " WHERE table_name = %s AND is_identity = 'NO'",
        [copies.table],
    )
    columns = [str(name) for (name,) in cursor.fetchall()]
    values = [
        sql.SQL(copies.changed[name]) if name in copies.changed else sql.Identifier("one", name)
        for name in columns
    ]
    cursor.execute(
        sql.SQL(
            "INSERT INTO {table} ({columns}) SELECT {values}"
            " FROM (SELECT * FROM {table} LIMIT 1) AS one, generate_series({first}, {last}) AS n"
        ).format(
            table=sql.Identifier(copies.table),
            columns=sql.SQL(", ").join(map(sql.Identifier, columns)),
            values=sql.SQL(", ").join(values),
            first=sql.Literal(copies.first),
            last=sql.Literal(copies.first + copies.count - 1),
        )
    )
