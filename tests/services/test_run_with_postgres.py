"""The run that says PostgreSQL is on PostgreSQL, and the plain one on a SQLite file."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.django_db
def test_the_run_uses_the_database_that_it_was_given() -> None:
    given = os.environ.get("HEELWRIGHT_TEST_DATABASE_URL", "sqlite:")
    assert connection.vendor == given.partition(":")[0]
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            mode = cursor.execute("PRAGMA journal_mode").fetchone()
        assert mode == ("wal",), "a database in memory would hide every fault of locking"


@pytest.mark.parametrize("code", [0, 3])
def test_the_exit_code_of_the_command_is_handed_on(code: int) -> None:
    program = (
        "import os, sys; url = os.environ['HEELWRIGHT_TEST_DATABASE_URL'];"
        f"assert url.startswith('postgresql:'); sys.exit({code})"
    )
    command = [sys.executable, "-m", "tests.services.run_with_postgres"]
    done = subprocess.run([*command, sys.executable, "-c", program], cwd=ROOT, check=False)
    assert done.returncode == code
