"""Runs a command with a PostgreSQL of its own: `python -m tests.services.run_with_postgres
pytest -m database`.
"""

import os
import subprocess
import sys

from tests.services.postgres import Postgres


def main(command: list[str]) -> int:
    with Postgres() as server:
        environment = {**os.environ, "HEELWRIGHT_TEST_DATABASE_URL": server.url("heelwright")}
        print(f"the tests that use the database, on PostgreSQL: {' '.join(command)}", flush=True)
        return subprocess.run(command, env=environment, check=False).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
