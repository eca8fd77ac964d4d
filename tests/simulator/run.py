"""Runs seeds in processes of their own, and adds up what they report."""

import gc
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import dataclass, field
from itertools import islice
from multiprocessing import get_context
from pathlib import Path
from typing import Any

Json = dict[str, Any]
MEMORY = Path("/dev/shm")  # Linux keeps this folder in memory
_world: Any = None


@dataclass
class Totals:
    """What all seeds came to; `failed` are the reports of those that broke something."""

    seeds: int = 0
    steps: int = 0
    saved: int = 0
    wiped: int = 0
    counts: Counter[str] = field(default_factory=Counter)
    receipts: Counter[str] = field(default_factory=Counter)
    failed: list[Json] = field(default_factory=list)

    def add(self, report: Json) -> None:
        self.seeds += 1
        self.steps += report["steps"]
        self.saved += report["saved"]
        self.wiped += report["wiped"]
        self.counts.update(report["counts"])
        self.receipts.update(report["receipts"])
        if report["broken"]:
            self.failed.append(report)

    def broken(self, *invariants: int) -> int:
        """How many seeds broke one of these first."""
        return sum(report["broken"][0]["invariant"] in invariants for report in self.failed)

    def text(self) -> str:
        happened, became = (
            ", ".join(f"{what} {count}" for what, count in sorted(counted.items()))
            for counted in (self.counts, self.receipts)
        )
        return (
            f"seeds {self.seeds}, steps {self.steps}, commands saved {self.saved}: "
            f"lost {self.broken(1, 8, 9)}, twice {self.broken(2)}, "
            f"diverged {self.broken(4, 5, 12)}, other {self.broken(0, 3, 6, 7, 10, 11)}; "
            f"gone with a phone that its practice had wiped {self.wiped}\n"
            f"{happened}\n{became}\n"
        )


def reports(seeds: Iterable[int], bundle: Path, bug: str = "", workers: int = 2) -> Iterator[Json]:
    """The report of each seed, as they come. Takes no more seeds than are asked for."""
    waiting = iter(seeds)
    with ProcessPoolExecutor(workers, get_context("spawn"), _begin, (bug,)) as pool:
        running: set[Future[Json]] = set()
        while True:
            for seed in islice(waiting, workers - len(running)):
                running.add(pool.submit(_report_of, bundle, seed))
            if not running:
                return
            done, running = wait(running, return_when=FIRST_COMPLETED)
            for future in done:
                yield future.result()


def world(bug: str = "") -> Any:
    """The server of this process, made once."""
    if _world is None:
        _begin(bug)
    return _world


def _begin(bug: str) -> None:
    global _world  # noqa: PLW0603 - a process has one
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.simulator.settings"
    if MEMORY.is_dir():
        os.environ["TMPDIR"] = str(MEMORY)
    import django

    django.setup()
    # The server makes much garbage; looking for it seldom saves a tenth of the time.
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    from tests.simulator.planted import SERVER_BUGS
    from tests.simulator.worker import World

    _world = World()
    if bug in SERVER_BUGS:
        SERVER_BUGS[bug]()


def _report_of(bundle: Path, seed: int) -> Json:
    (report,) = _world.simulate(bundle, [run_of(seed)])
    return dict(report)


def run_of(
    seed: int, keep: list[int] | None = None, without: Iterable[int] = (), say: bool = False
) -> Json:
    """One run: `keep` are the events that happen (None: all), `without` the phones left out."""
    return {"seed": seed, "keep": keep, "without": list(without), "say": say}
