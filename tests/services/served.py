"""The real server, as a process of its own: started, killed without warning, started again.

It has its own database, key file and port, and is asked over HTTP only. What is in the database is
the affair of whoever starts it: `manage` runs any `heelwright` command against it.
"""

import http.client
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Self

from tests.services.postgres import die_with_parent, free_port

ROOT = Path(__file__).resolve().parents[2]
SECONDS_TO_START = 60


class ServedApp:
    """`with ServedApp(folder, database_url, key_file) as app`, then ask `app.base_url`."""

    def __init__(
        self,
        folder: Path,
        database_url: str,
        key_file: Path,
        settings: str = "heelwright.settings.demo",
    ) -> None:
        self.folder = folder
        self.database_url = database_url
        self.key_file = key_file
        self.settings = settings
        self.port = free_port()
        self.log_file = folder / "server.log"
        self.queue = str(folder / "queue")
        self.mail = folder / "mail"
        self._server: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()

    @property
    def base_url(self) -> str:
        return f"http://localhost:{self.port}"

    @property
    def process(self) -> int:
        """Leads the process group of the server and its workers."""
        assert self._server is not None, "the server is not running"
        return self._server.pid

    @property
    def log(self) -> str:
        return self.log_file.read_text(errors="replace") if self.log_file.exists() else ""

    def manage(self, *arguments: str, typed: str = "") -> str:
        """Runs a `heelwright` command on this server's database; returns what it prints."""
        done = subprocess.run(
            [sys.executable, "-m", "heelwright", *arguments],
            cwd=self.folder,
            env=self._environment(),
            input=typed,
            start_new_session=True,  # without a terminal, passwords are read from `typed`
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"{arguments}: {done.stdout}\n{done.stderr}"
        return done.stdout

    @contextmanager
    def worker(self) -> Iterator[subprocess.Popen[bytes]]:
        """What works beside the server, as a process of its own."""
        with (self.folder / "worker.log").open("ab") as log:
            worker = subprocess.Popen(
                [sys.executable, "-m", "heelwright", "work", "--beat"],
                cwd=self.folder,
                env=self._environment(),
                stdout=log,
                stderr=log,
                start_new_session=True,
                preexec_fn=die_with_parent(signal.SIGTERM),  # noqa: PLW1509 - prctl only, no locks
            )
        try:
            yield worker
        finally:
            worker.terminate()
            worker.wait()

    def start(self) -> None:
        with self.log_file.open("ab") as log:
            self._server = subprocess.Popen(
                [
                    *(sys.executable, "-m", "heelwright", "serve"),
                    *("--host", "127.0.0.1", "--port", str(self.port)),
                ],
                cwd=self.folder,
                env=self._environment(),
                stdout=log,
                stderr=log,
                start_new_session=True,
                preexec_fn=die_with_parent(signal.SIGTERM),  # noqa: PLW1509 - prctl only, no locks
            )
        self._wait_until_up()

    def kill(self) -> None:
        """As a power cut does: no warning, nothing finished, the workers included."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        self._end(signal.SIGTERM)

    def restart(self) -> None:
        self.stop()
        self.start()

    def _end(self, sign: signal.Signals) -> None:
        if self._server is None:
            return
        server, self._server = self._server, None
        try:
            os.killpg(server.pid, sign)
            server.wait(timeout=20)
        except ProcessLookupError:
            server.wait()
        except subprocess.TimeoutExpired:
            os.killpg(server.pid, signal.SIGKILL)
            server.wait()

    def _environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": self.settings,
            "HEELWRIGHT_DATABASE_URL": self.database_url,
            "HEELWRIGHT_KEY_FILE": str(self.key_file),
            "HEELWRIGHT_PHOTO_FOLDER": str(self.folder / "photos"),
            "HEELWRIGHT_QUEUE": self.queue,
            "HEELWRIGHT_MAIL_FOLDER": str(self.mail),
            "PYTHONPATH": os.pathsep.join((str(ROOT / "backend"), str(ROOT))),
        }

    def _wait_until_up(self) -> None:
        deadline = time.monotonic() + SECONDS_TO_START
        while not self._answers():
            assert self._server is not None
            assert self._server.poll() is None, f"the server ended:\n{self.log}"
            assert time.monotonic() < deadline, f"no answer from the server:\n{self.log}"
            time.sleep(0.05)

    def _answers(self) -> bool:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            connection.request("GET", "/")
            connection.getresponse().read()
        except (OSError, http.client.HTTPException):
            return False
        finally:
            connection.close()
        return True
