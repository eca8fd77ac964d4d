"""All that is in the database, read beside the application: to see that nothing has changed."""

from uuid import UUID

from django.db import connection

SIGN_IN = ("django_", "auth_", "account_")


def everything() -> dict[str, list[str]]:
    """Each table's rows as text, in an order of their own."""
    with connection.cursor() as sql:
        tables = connection.introspection.table_names(sql)
        return {table: _rows(table) for table in tables if not table.startswith(SIGN_IN)}


def _rows(table: str) -> list[str]:
    with connection.cursor() as sql:
        sql.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
        return sorted(repr([bytes(v) if isinstance(v, memoryview) else v for v in row])
                      for row in sql.fetchall())  # fmt: skip


def without_log(tables: dict[str, list[str]]) -> dict[str, list[str]]:
    """Without what every command leaves, refused ones too: log, chain, the device's number, and the
    mark by which its receipt is told from one of a lost history."""
    log = {
        "commandlog_commandrecord", "commandlog_loggedargs", "commandlog_feedmark",
        "evidence_link", "evidence_chainhead", "tenancy_device", "tenancy_practice",
    }  # fmt: skip
    return {table: rows for table, rows in tables.items() if table not in log}


def of_practice(tables: dict[str, list[str]], practice: UUID) -> dict[str, list[str]]:
    """The rows that name a practice, in either database's way of writing its id."""
    names = (practice.hex, str(practice))
    return {
        table: [row for row in rows if any(name in row for name in names)]
        for table, rows in tables.items()
    }
