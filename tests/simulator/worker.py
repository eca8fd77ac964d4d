"""One process that simulates: the server here, the phones and the scheduler in a Node beside it.

Node is the master. It asks for what the server should do, one line of JSON each, and gets one line
back; so nothing happens at the same time, and a seed always runs alike.
"""

import json
import subprocess
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import datetime
from io import StringIO
from pathlib import Path
from typing import Any

from django.core.management import call_command

from heelwright.intake import records
from heelwright.rulebook import book_for
from tests.simulator.base_world import make_base_world
from tests.simulator.inspection import inspected
from tests.simulator.server import BASE, Server

Json = dict[str, Any]


class World:
    """The server of this process, and what Node may ask of it: each `do_` is one request."""

    def __init__(self) -> None:
        self.server = Server()
        self.base = make_base_world()
        self.server.back_up(BASE)
        self.runs: Iterator[Json] = iter(())

    def simulate(self, bundle: Path, runs: Iterable[Json]) -> Iterator[Json]:
        """Runs them one after the other in a Node of their own; yields the report of each."""
        self.runs = iter(runs)
        node = subprocess.Popen(
            ["node", "--enable-source-maps", str(bundle)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert node.stdin and node.stdout
        for line in node.stdout:
            asked = json.loads(line)
            if asked["do"] == "report":
                yield asked["report"]
            with suppress(BrokenPipeError):
                node.stdin.write(json.dumps(self._do(**asked)) + "\n")
                node.stdin.flush()
        if node.wait() != 0:
            raise RuntimeError(f"the simulation ended with {node.returncode}")

    def _do(self, do: str, now: str | None = None, **rest: Any) -> Json:
        if now is not None:
            self.server.now = datetime.fromisoformat(now)
        told: Json | None = getattr(self, f"do_{do}")(**rest)
        return told or {}

    def do_next(self) -> Json:
        return next(self.runs, {})

    def do_report(self, report: Json) -> None:
        """Told to whoever runs this."""

    def do_base(self) -> Json:
        return self.base

    def do_fresh(self, page: int) -> None:
        self.do_rulebook("")
        self.server.fresh(page)

    def do_send(self, key: int, request: Json, pauses: bool, dies_at: int) -> Json:
        return self.server.send(key, request, pauses, dies_at)

    def do_go(self, key: int) -> Json:
        return self.server.go(key)

    def do_crash(self) -> None:
        self.server.crash()

    def do_back_up(self, slot: str) -> None:
        self.server.back_up(slot)

    def do_restore(self, slot: str) -> None:
        self.server.crash()
        self.server.restore(slot)

    def do_rulebook(self, overlay: str) -> None:
        """As after an update of the server that changes the book of every practice."""
        setattr(records, "book_for", lambda _: book_for(overlay or None))  # noqa: B010 - not exported there

    def do_trim(self, days: int) -> None:
        call_command("feed_trim", days=days, stdout=StringIO())

    def do_inspect(self) -> Json:
        return inspected(self.server.applied)
