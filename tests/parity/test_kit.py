"""The kit's rules on the server: the vectors, and with the phone's built code on random histories.

Sources of the vectors: as `kit.json` names them.
"""

import json
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any

import pytest

from heelwright.kit.rules.asked import asked_of_machine, asked_of_product
from heelwright.kit.rules.loads import ran_minutes, told_late
from heelwright.kit.rules.recalls import pulled_back
from heelwright.rulebook.kit_entries import Process
from heelwright.rulebook.schema import Settings
from tests.parity.kit_cases import checks_of, draw, judged, moment
from tests.parity.node import built, node
from tests.parity.vectors import HERE, book_of, read
from tests.run_length import runs

VECTORS = read("kit.json")
HISTORIES = runs(5_000, 100_000)


def named(cases: list[dict[str, Any]]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("case", cases, ids=[case["name"] for case in cases])


@named(VECTORS["standing"])
def test_how_a_set_stands(case: dict[str, Any]) -> None:
    found = judged({"recalls": [], **case})
    expected = dict(case["expect"])
    if "until" in expected:
        expected["until"] = moment(expected["until"]).timestamp()
    assert {key: found[key] for key in expected} == expected
    assert found["against"] == case["against"]


@named(VECTORS["recalls"])
def test_which_cycles_are_pulled_back(case: dict[str, Any]) -> None:
    found = pulled_back(moment(case["started_at"]), checks_of(case["checks"]))
    assert found is case["pulled_back"]


@pytest.mark.parametrize("case", VECTORS["ran"])
def test_how_long_a_cycle_ran(case: dict[str, Any]) -> None:
    heard: datetime | None = moment(case["heard_at"]) if case["heard_at"] else None
    found = ran_minutes(moment(case["started_at"]), moment(case["ended_at"]), heard)
    assert found == case["minutes"]


@pytest.mark.parametrize("case", VECTORS["told_late"])
def test_which_starts_were_told_late(case: dict[str, Any]) -> None:
    told_at: datetime | None = moment(case["told_at"]) if case["told_at"] else None
    assert told_late(moment(case["started_at"]), told_at) is case["late"]


def settings() -> Settings:
    return book_of("base").content.settings.model_copy(update=VECTORS["settings"])


@named(VECTORS["asked_of_machine"])
def test_what_a_machine_must_reach(case: dict[str, Any]) -> None:
    process = Process.model_validate(case["process"])
    found = asked_of_machine(settings(), process, case["maker_minutes"])
    assert asdict(found) == case["asked"]


@pytest.mark.parametrize("case", VECTORS["asked_of_product"])
def test_what_a_disinfectant_must_reach(case: dict[str, Any]) -> None:
    assert asdict(asked_of_product(settings(), case["contact_minutes"])) == case["asked"]


def test_both_judge_random_histories_alike(tmp_path: Path) -> None:
    random = Random("heelwright kit")
    cases = [draw(random) for _ in range(HISTORIES)]
    given, theirs = tmp_path / "cases.json", tmp_path / "judged.json"
    given.write_text(json.dumps(cases), encoding="utf-8")
    node(HERE / "kit_all.mjs", built("tests/domain/kit/judged.ts", tmp_path), given, theirs)
    by_phone = json.loads(theirs.read_text(encoding="utf-8"))
    assert len(by_phone) == len(cases)
    states = set()
    for case, told in zip(cases, by_phone, strict=True):
        ours = judged(case)
        assert ours == told, case
        states.add(ours["state"])
    # Histories that all came to the same would show nothing.
    assert len(states) == 11
