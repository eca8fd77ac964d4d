"""The same 5,000 documents moved by our store and by its peers, in the same Chromium, alternating.

`python -m tests.bench.beside [--runs N] [--sides ours,bare] [--record]` does this part alone.
"""

import argparse
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from statistics import median

from playwright.sync_api import Page, Playwright, sync_playwright

from heelwright.vault import keyfile
from tests.bench import recorded
from tests.bench.loopback import Loopback, bundle
from tests.bench.practice import fill
from tests.services.phone import Phone
from tests.services.served import ServedApp

SIDES = ("ours", "bare", "rxdb", "pouch")
RUNS = 16
EMAIL, RECORDS = "owner@practice.test", 5000
EDITS, CHANGES, IDLES = 500, 10, 5
NOTE = "Changed elsewhere: the bell is broken, please knock."


@dataclass(frozen=True)
class Times:
    """Milliseconds in the page, for one side."""

    first_durable: float
    first_readable: float
    edits: float
    push: float
    idle: float
    changes: float


def compared(
    playwright: Playwright, file: Path, sides: Sequence[str] = SIDES, runs: int = RUNS
) -> dict[str, Times]:
    """Medians of each side. The sides take turns, so that a slow minute is slow for all."""
    taken: dict[str, list[Times]] = {side: [] for side in sides}
    for turn in range(runs):
        for side in in_turn(sides, turn):
            taken[side].append(_run(playwright, side, file))
    return {side: middle(times) for side, times in taken.items()}


def in_turn(sides: Sequence[str], turn: int) -> list[str]:
    """A Williams square (E. J. Williams, 1949): of an even number of sides each comes at each place
    as often, and right after each other one as often."""
    count = len(sides)
    places = [(place + 1) // 2 if place % 2 else -(place // 2) for place in range(count)]
    return [sides[(place + turn) % count] for place in places]


def _run(playwright: Playwright, side: str, file: Path) -> Times:
    """A fresh server, a fresh profile on disk, and every measure once. What the side before has
    written is on the disk by then: nobody's strict writes wait for it."""
    os.sync()
    with (
        tempfile.TemporaryDirectory(prefix="heelwright-peer-") as profile,
        Loopback(side, file) as server,
    ):
        phone = Phone(playwright, Path(profile), server.base_url)
        try:
            page = opened(phone)
            return measures(page, lambda: page.evaluate(CHANGE, {"count": CHANGES, "note": NOTE}))
        finally:
            phone.close()


CHANGE = """asked => fetch("/bench/change", {
  method: "POST",
  headers: { "Content-Type": "application/json" },
  body: JSON.stringify(asked),
}).then((reply) => reply.json())"""


def opened(phone: Phone) -> Page:
    page = phone.open()
    page.goto("/")
    page.wait_for_function("'peer' in globalThis")
    page.evaluate("peer.open()")
    return page


def measures(page: Page, change: Callable[[], list[str]]) -> Times:
    """`change` writes `NOTE` on ten cards at the server and returns their keys."""
    first = page.evaluate("count => peer.firstSync(count)", recorded.rows_held())
    edits = page.evaluate("count => peer.edits(count)", EDITS)
    push = page.evaluate("peer.push()")
    page.evaluate("peer.settle()")
    idle = median(page.evaluate("peer.idle()") for _ in range(IDLES))
    changes = page.evaluate("([keys, note]) => peer.changes(keys, note)", [change(), NOTE])
    return Times(first["durable"], first["readable"], edits, push, idle, changes)


def middle(times: Sequence[Times]) -> Times:
    return Times(*(median(getattr(one, field.name) for one in times) for field in fields(Times)))


def table(times: Mapping[str, Times]) -> str:
    lines = [f"{'ms':<8}" + "".join(f"{field.name:>16}" for field in fields(Times))]
    for side, found in times.items():
        values = (getattr(found, field.name) for field in fields(Times))
        lines.append(f"{side:<8}" + "".join(f"{value:>16.0f}" for value in values))
    return "\n".join(lines)


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--runs", type=int, default=RUNS)
    asked.add_argument("--sides", default=",".join(SIDES))
    asked.add_argument("--record", action="store_true")
    given = asked.parse_args()
    bundle()
    with tempfile.TemporaryDirectory(prefix="heelwright-bench-") as name, sync_playwright() as it:
        if given.record or not recorded.FILE.exists():
            _record(Path(name))
        print(table(compared(it, recorded.FILE, given.sides.split(","), given.runs)))


def _record(folder: Path) -> None:
    keyfile.make(folder / "keys.json")
    database = f"sqlite:///{folder / 'heelwright.sqlite3'}"
    with ServedApp(folder, database, folder / "keys.json") as app:
        recorded.record(app, fill(app, EMAIL, RECORDS), EMAIL)


if __name__ == "__main__":
    main()
