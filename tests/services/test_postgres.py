"""The PostgreSQL of the tests is a real one, is there to be asked, and leaves nothing behind."""

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import psycopg
import pytest

from tests.services.postgres import Postgres

ROOT = Path(__file__).resolve().parents[2]


def answers(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def test_answers_dumps_and_leaves_nothing_behind() -> None:
    with Postgres() as server:
        url = server.create_database("visits")
        with psycopg.connect(url) as connection:
            connection.execute("CREATE TABLE note (words text)")
            connection.execute("INSERT INTO note VALUES ('a marker word')")
            version = connection.execute("SHOW server_version_num").fetchone()
        assert version is not None
        assert int(version[0]) >= 180000
        assert b"a marker word" in server.dump("visits")
        port, home = server.port, server.home
        assert answers(port)
    assert not answers(port)
    assert not home.exists()


@pytest.mark.skipif(sys.platform != "linux", reason="the kernel of Linux ends it with its parent")
def test_ends_when_the_test_run_is_killed() -> None:
    program = (
        "import time\nfrom tests.services.postgres import Postgres\n"
        "server = Postgres()\nserver.start()\n"
        "print(server.port, server.home, flush=True)\ntime.sleep(600)\n"
    )
    run = subprocess.Popen(
        [sys.executable, "-c", program], cwd=ROOT, stdout=subprocess.PIPE, text=True
    )
    assert run.stdout is not None
    port, home = run.stdout.readline().split()
    assert answers(int(port))
    os.kill(run.pid, signal.SIGKILL)
    run.wait()
    run.stdout.close()
    deadline = time.monotonic() + 20
    while answers(int(port)):
        assert time.monotonic() < deadline, "PostgreSQL outlived the test run"
        time.sleep(0.05)
    subprocess.run(["rm", "-rf", home], check=True)
