"""Makes a failing run small: leaves out phones, then events, while it fails in the same way."""

from collections.abc import Generator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from tests.simulator.run import run_of

Json = dict[str, Any]
MOST_TRIES = 400


@dataclass(frozen=True)
class Case:
    """Which events of a seed happen, and which phones take no part."""

    events: tuple[int, ...]
    without: tuple[int, ...] = ()


def smaller(case: Case, phones: int) -> Generator[Case, bool, Case]:
    """Yields smaller cases, is told whether each still fails, and returns the smallest that did."""
    for phone in range(phones):
        tried = replace(case, without=(*case.without, phone))
        if (yield tried):
            case = tried
    size = len(case.events) // 2
    while size:
        at = 0
        while at < len(case.events):
            tried = replace(case, events=case.events[:at] + case.events[at + size :])
            if (yield tried):
                case = tried
            else:
                at += size
        size //= 2
    return case


def shrunk(world: Any, bundle: Path, report: Json) -> Case:
    """The smallest case found for a failing report, within a limit of tries."""
    seed, invariant = report["seed"], report["broken"][0]["invariant"]
    case = Case(tuple(range(report["ended_at"] + 1)))
    search = smaller(case, report["phones"])
    tried = next(search)

    def runs() -> Any:
        for _ in range(MOST_TRIES):
            yield run_of(seed, list(tried.events), tried.without)

    for told in world.simulate(bundle, runs()):
        fails = bool(told["broken"]) and told["broken"][0]["invariant"] == invariant
        case = tried if fails else case
        try:
            tried = search.send(fails)
        except StopIteration as end:
            return end.value  # type: ignore[no-any-return]
    return case


def ranges(numbers: Sequence[int]) -> str:
    """`0-3,7` for 0, 1, 2, 3, 7."""
    parts: list[list[int]] = []
    for number in numbers:
        if parts and number == parts[-1][-1] + 1:
            parts[-1].append(number)
        else:
            parts.append([number])
    return ",".join(f"{p[0]}-{p[-1]}" if len(p) > 1 else str(p[0]) for p in parts)


def numbers(text: str) -> list[int]:
    """The opposite of `ranges`."""
    found: list[int] = []
    for part in filter(None, text.split(",")):
        first, _, last = part.partition("-")
        found += range(int(first), int(last or first) + 1)
    return found
