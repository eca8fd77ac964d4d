"""`python -m tests.simulator`: runs seeds, or replays one. See README.md."""

import argparse
import sys
import tempfile
from itertools import takewhile
from pathlib import Path

from tests.simulator import run, shrink
from tests.simulator.bundle import built


def main() -> int:
    asked = _arguments()
    with tempfile.TemporaryDirectory(prefix="simulator-") as folder:
        bundle = built(Path(folder), asked.bug)
        if asked.seed is not None:
            return _one(bundle, asked)
        return _many(bundle, asked)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.simulator")
    parser.add_argument("--seed", type=int, help="replay this one")
    parser.add_argument("--events", help="only these events of it, such as 0-12,17")
    parser.add_argument("--without", default="", help="leave out these phones, such as 2,4")
    parser.add_argument("--shrink", action="store_true", help="look for a smaller case that fails")
    parser.add_argument("--quiet", action="store_true", help="do not tell each step")
    parser.add_argument("--seeds", default="1-40", help="run these, such as 1-200")
    parser.add_argument("--steps", type=int, default=0, help="stop after so many steps")
    parser.add_argument("--bug", default="", help="plant this bug, see planted.py")
    parser.add_argument("--workers", type=int, default=2)
    return parser.parse_args()


def _one(bundle: Path, asked: argparse.Namespace) -> int:
    keep = None if asked.events is None else shrink.numbers(asked.events)
    once = run.run_of(asked.seed, keep, shrink.numbers(asked.without), say=not asked.quiet)
    world = run.world(asked.bug)
    (report,) = world.simulate(bundle, [once])
    totals = run.Totals()
    totals.add(report)
    for broken in report["broken"]:
        sys.stdout.write(f"invariant {broken['invariant']}: {broken['what']}\n")
    if report["broken"] and asked.shrink:
        sys.stdout.write(replay(shrink.shrunk(world, bundle, report), asked.seed) + "\n")
    sys.stdout.write(totals.text())
    return len(totals.failed)


def _many(bundle: Path, asked: argparse.Namespace) -> int:
    totals = run.Totals()
    seeds = takewhile(
        lambda _: not asked.steps or totals.steps < asked.steps, shrink.numbers(asked.seeds)
    )
    for report in run.reports(seeds, bundle, asked.bug, asked.workers):
        totals.add(report)
        for broken in report["broken"][:1]:
            what = f"seed {report['seed']}, invariant {broken['invariant']}: {broken['what'][:300]}"
            sys.stdout.write(what + "\n")
            sys.stdout.flush()
    sys.stdout.write(totals.text())
    return len(totals.failed)


def replay(case: shrink.Case, seed: int) -> str:
    without = f" --without {shrink.ranges(case.without)}" if case.without else ""
    events = shrink.ranges(case.events)
    return f"python -m tests.simulator --seed {seed} --events {events}{without}"


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
