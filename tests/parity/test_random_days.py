"""Random days, ordered by the server and by the phone's built code: the same plan, to the
second."""

import json
from dataclasses import asdict
from pathlib import Path
from random import Random

import pytest

from heelwright.planning.rules.exact import MOST_STOPS, best
from tests.parity.node import built, node
from tests.parity.vectors import HERE
from tests.planning.days import random_day
from tests.run_length import LONG, runs


@pytest.fixture(scope="module")
def bundle(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built("src/domain/planning/exact.ts", tmp_path_factory.mktemp("planning"))


def test_both_plan_alike(bundle: Path, tmp_path: Path) -> None:
    rng = Random("heelwright days")
    most = MOST_STOPS if LONG else 8
    days = [random_day(rng, 1 + one % most) for one in range(runs(80, 1_200))]
    given, out = tmp_path / "days.json", tmp_path / "plans.json"
    given.write_text(json.dumps([asdict(day) for day in days]), encoding="utf-8")
    node(HERE / "plan_all.mjs", bundle, given, out)
    plans = json.loads(out.read_text(encoding="utf-8"))
    reasons = set()
    for day, theirs in zip(days, plans, strict=True):
        assert json.loads(json.dumps(asdict(best(day)))) == theirs, day
        reasons |= {one["reason"] for one in theirs["left"]}
    # Days that all had room would show little.
    assert reasons >= {"no_room", "outside_hours", "too_far"}
