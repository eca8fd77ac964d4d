"""The whole browser killed with SIGKILL right after the 500th edit is "saved": how many are there?

A killed browser is what a phone out of memory does to it; a power cut is not tried here.
`python -m tests.bench.killed [--runs N]` does this part alone.
"""

import argparse
import tempfile
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

from tests.bench import recorded
from tests.bench.beside import EDITS, SIDES, opened
from tests.bench.loopback import Loopback, bundle
from tests.services.phone import Phone

RUNS_OF_OURS, RUNS_OF_PEERS = 20, 5


def kept(playwright: Playwright, file: Path) -> dict[str, list[int]]:
    """Many tries of ours, a few of each peer."""
    runs = {side: RUNS_OF_OURS if side == "ours" else RUNS_OF_PEERS for side in SIDES}
    return {side: kept_of(playwright, file, side, count) for side, count in runs.items()}


def kept_of(
    playwright: Playwright, file: Path, side: str, runs: int, edits: int = EDITS
) -> list[int]:
    """What each run found after the profile was opened again."""
    return [_run(playwright, file, side, edits) for _ in range(runs)]


def _run(playwright: Playwright, file: Path, side: str, edits: int) -> int:
    with (
        tempfile.TemporaryDirectory(prefix="heelwright-peer-", ignore_cleanup_errors=True) as name,
        Loopback(side, file) as server,
    ):
        phone = Phone(playwright, Path(name), server.base_url)
        page = opened(phone)
        page.evaluate("count => peer.firstSync(count)", recorded.rows_held(file))
        page.evaluate("count => peer.edits(count)", edits)
        phone.kill()
        kept = int(opened(phone).evaluate("peer.kept()"))
        phone.close()
        return kept


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--runs", type=int, default=RUNS_OF_OURS)
    asked.add_argument("--sides", default=",".join(SIDES))
    given = asked.parse_args()
    bundle()
    with sync_playwright() as playwright:
        for side in given.sides.split(","):
            print(side, kept_of(playwright, recorded.FILE, side, given.runs), flush=True)


if __name__ == "__main__":
    main()
