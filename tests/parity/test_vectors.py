"""Every vector of this folder, through the Python engine."""

import json
from typing import Any

import pytest

from tests.parity.vectors import (
    HERE,
    Case,
    as_seen,
    book_of,
    engine_cases,
    mismatches,
    read,
    rule_cases,
)
from tests.parity.write import as_text, written

PROBLEMS = read("problems.json")["cases"]


@pytest.mark.parametrize("case", engine_cases(), ids=lambda case: case.name)
def test_engine(case: Case) -> None:
    judgement = book_of("tiny").judge(case.answers, case.findings, case.age).as_json()
    assert mismatches(as_seen(json.loads(json.dumps(judgement))), case.expect) == []


@pytest.mark.parametrize("case", rule_cases(), ids=lambda case: case.name)
def test_rule_of_the_base_book(case: Case) -> None:
    judgement = book_of("base").judge(case.answers, case.findings, case.age).as_json()
    assert mismatches(as_seen(judgement), case.expect) == []


@pytest.mark.parametrize("case", PROBLEMS, ids=[case["name"] for case in PROBLEMS])
def test_problems(case: dict[str, Any]) -> None:
    found = book_of("tiny").validate(case["answers"], case["findings"], case["age"])
    assert sorted([one.field, one.code] for one in found) == case["problems"]
    assert all(one.text and one.remedy for one in found)


def test_every_rule_of_the_base_book_has_a_vector() -> None:
    assert {stated["rule"] for stated in read("rules.json")["rules"]} == {
        rule.id for rule in book_of("base").content.rules
    }


def test_written_files_are_fresh() -> None:
    stale = [
        name
        for name, content in written().items()
        if (HERE / name).read_text(encoding="utf-8") != as_text(content)
    ]
    assert stale == [], "run python -m tests.parity.write and review the difference"
