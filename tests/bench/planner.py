"""The planner against published best values and against booking by hand: `python -m
tests.bench.planner`. docs/bench.md says how to read it."""

import time
from collections import Counter
from random import Random

from heelwright.planning.rules.booking_order import in_booking_order
from heelwright.planning.rules.planner import propose
from heelwright.planning.rules.solver import Effort, solve
from tests.planning.fortnights import driven, fortnight, preferred
from tests.planning.solomon import (
    BEST_KNOWN,
    SHORT_ROUTES,
    as_data,
    as_fortnight,
    heaviest,
    instance,
)

PUBLISHED = Effort(patience=1_000_000, seconds=60)
METRES_PER_MILE = 1609.344


def published() -> None:
    print("| instance | best known | solver | gap | seconds |")
    print("| --- | --- | --- | --- | --- |")
    for name, known in BEST_KNOWN.items():
        began = time.monotonic()
        found = solve(as_data(instance(name)), PUBLISHED)
        seconds = time.monotonic() - began
        _line(name, known, found.distance() if found.is_complete() else None, seconds)
    for name in SHORT_ROUTES:
        asked = instance(name)
        began = time.monotonic()
        plan = propose(as_fortnight(asked), PUBLISHED)
        seconds = time.monotonic() - began
        fits = not plan.unplaced and heaviest(asked, plan) <= asked.capacity
        driving = sum(day.plan.driving for day in plan.days)
        _line(f"{name}, whole planner", BEST_KNOWN[name], driving if fits else None, seconds)


def _line(name: str, known: int, found: int | None, seconds: float) -> None:
    if found is None:
        print(f"| {name} | {known / 10} | not all visited | | {seconds:.0f} |")
    else:
        gap = 100 * (found - known) / known
        print(f"| {name} | {known / 10} | {found / 10} | {gap:.2f} % | {seconds:.0f} |")


def two_weeks() -> None:
    print("\n| fortnight | | visits | miles | hours driven | by whom they prefer | seconds |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for seed in range(1, 4):
        asked, roads = fortnight(Random(f"fortnight {seed}"))
        began = time.monotonic()
        plan = propose(asked, Effort())
        planned = time.monotonic() - began
        began = time.monotonic()
        by_hand = in_booking_order(asked)
        booked = time.monotonic() - began
        for how, days, seconds in (("planned", plan.days, planned), ("as booked", by_hand, booked)):
            placed = sum(len(day.placed()) for day in days)
            miles = driven(asked, roads.metres, days) / METRES_PER_MILE
            hours = driven(asked, roads.seconds, days) / 3600
            print(
                f"| {seed} | {how} | {placed} | {miles:.0f} | {hours:.1f} "
                f"| {preferred(asked, days)} | {seconds:.1f} |"
            )
        why = Counter(one.reason for one in plan.unplaced)
        print(f"| {seed} | not placed | {dict(why)} | | | | |")


if __name__ == "__main__":
    published()
    two_weeks()
