"""The kit's vectors as the rules take them, and random histories beyond them."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from random import Random
from typing import Any, get_args

from heelwright.kit.rules.loads import Asked, End, Load, outcome
from heelwright.kit.rules.recalls import Check, pulled_back
from heelwright.kit.rules.standing import (
    Step,
    What,
    against,
    cycles_before,
    standing,
)

Case = Mapping[str, Any]
EPOCH = datetime.fromisoformat("2026-11-01T00:00:00Z")


def steps_of(case: Case) -> dict[str, Step]:
    read = (
        Step(**{**step, "at": moment(step["at"]), "after": tuple(step["after"])})
        for step in case["steps"]
    )
    return {step.id: step for step in read}


def loads_of(case: Case) -> dict[str, Load]:
    return {id_: load_of(load) for id_, load in case["loads"].items()}


def load_of(load: Case) -> Load:
    asked = Asked(**load["asked"]) if load["asked"] else None
    ends = tuple(End(**end) for end in load["ends"])
    return Load(asked, tuple(load["faults"]), ends, load["pulled_back"])


def checks_of(checks: Iterable[Case]) -> list[Check]:
    return [Check(**{**check, "at": moment(check["at"])}) for check in checks]


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def judged(case: Case) -> dict[str, Any]:
    """All that both sides say of a history, in the form in which the phone writes it."""
    steps, loads = steps_of(case), loads_of(case)
    stands = standing(case["needs"], steps, loads, moment(case["now"]))
    after = case.get("after", stands.heads)
    return {
        "state": stands.state,
        "heads": list(stands.heads),
        "reasons": list(stands.reasons),
        "until": stands.until and stands.until.timestamp(),
        "staff": stands.staff,
        "load": stands.load,
        "against": list(against(stands, after, case["staff"])),
        "cycles": {id_: sorted(cycles_before(step, steps)) for id_, step in steps.items()},
        "outcomes": {
            id_: [outcome(load).state, *outcome(load).reasons] for id_, load in loads.items()
        },
        "pulled_back": [
            pulled_back(moment(one["started_at"]), checks_of(one["checks"]))
            for one in case["recalls"]
        ],
    }


def draw(random: Random) -> dict[str, Any]:
    """A history such as people tell, with here and there a step that does not fit."""
    loads = {f"L{n}": _load(random) for n in range(random.randint(0, 3))}
    steps: list[dict[str, Any]] = []
    way = ["wash", "cycle", "pack", "take_out", "use", "soil"]
    for n in range(random.randint(0, 14)):
        known = [step["id"] for step in steps]
        usual = way[n % len(way)] if random.random() < 0.85 else random.choice(get_args(What))
        forks = random.random() < 0.15 and known
        after = random.sample(known, random.randint(1, min(2, len(known)))) if forks else known[-1:]
        steps.append(
            {
                "id": f"s{n:02}",
                "what": usual,
                "at": _at(random),
                "staff": random.choice(["ann", "ben"]),
                "after": [*after, "gone"] if random.random() < 0.03 else after,
                "load": random.choice([*loads, "none"]) if usual == "cycle" else None,
                "end": random.choice(["e0", "e1", None]) if usual == "pack" else None,
            }
        )
    case = {
        "needs": random.choice(["sterilise", "disinfect"]),
        "steps": random.sample(steps, len(steps)),
        "loads": loads,
        "now": _at(random, 12),
        "staff": "ann",
        "recalls": [{"started_at": _at(random), "checks": _checks(random)} for _ in range(2)],
    }
    if random.random() < 0.2 and steps:
        case["after"] = [random.choice(steps)["id"]]
    return case


def _at(random: Random, days: int = 9) -> str:
    return (EPOCH + timedelta(minutes=random.randint(0, days * 1440))).isoformat()


def _load(random: Random) -> dict[str, Any]:
    heated = random.random() < 0.7
    asked = {
        "level": "sterilise" if heated else "disinfect",
        "minutes": random.choice([3, 4, 10]),
        "celsius": 132 if heated else None,
        "indicator": heated,
        "storage_days": random.choice([1, 7, 365]),
    }
    good = random.random() < 0.75
    return {
        "asked": asked if random.random() < 0.95 else None,
        "faults": [] if random.random() < 0.95 else ["solution_out_of_date"],
        "ends": [_end(random, n, good=good) for n in range(random.choice([0, 1, 1, 1, 2]))],
        "pulled_back": random.random() < 0.05,
    }


def _end(random: Random, n: int, *, good: bool) -> dict[str, Any]:
    if good:
        shown = {"held_minutes": 10, "celsius": 134, "indicator": "passed", "interrupted": False}
        return {"id": f"e{n}", "ran_minutes": 20, **shown}
    return {
        "id": f"e{n}",
        "ran_minutes": random.choice([0, 3.5, 9.99, 20]),
        "held_minutes": random.choice([None, 3.5, 4, 10]),
        "celsius": random.choice([None, 131, 132, 134]),
        "indicator": random.choice(["passed", "failed", "not_read"]),
        "interrupted": random.random() < 0.2,
    }


def _checks(random: Random) -> list[dict[str, Any]]:
    return [
        {
            "kind": kind,
            "at": _at(random),
            "passed": random.random() < 0.6,
            "reaches_back": kind == "spore_test",
        }
        for kind in random.choices(["spore_test", "temperature"], k=random.randint(0, 4))
    ]
