"""Ten thousand random answer sets, judged by the server and by the phone's built code."""

import json
from pathlib import Path
from random import Random

import pytest

from heelwright.rulebook import OUTCOMES, Book, book_for, overlays
from tests.parity.node import built, node
from tests.parity.random_answers import Drawn, draw
from tests.parity.vectors import HERE, book_of
from tests.rulebook.own_rules import own_text

SETS = {"base": 7_000, "tiny": 1_000, "us": 500, "uk": 500}
# Books with random rules of a practice's own, and how many sets for each.
OWN_BOOKS, SETS_OF_OWN = 20, 50


@pytest.fixture(scope="module")
def bundle(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return built("src/domain/screening/index.ts", tmp_path_factory.mktemp("screening"))


@pytest.mark.parametrize("name", SETS)
def test_both_judge_alike(name: str, bundle: Path, tmp_path: Path) -> None:
    book, random = book_of(name), Random(f"heelwright {name}")
    cases = [draw(book, random) for _ in range(SETS[name])]
    # Answers that all came to the same would show nothing.
    assert agreed(book, cases, bundle, tmp_path) == set(OUTCOMES)


@pytest.mark.parametrize("seed", range(OWN_BOOKS))
def test_both_judge_alike_by_own_rules(seed: int, bundle: Path, tmp_path: Path) -> None:
    random = Random(f"heelwright own {seed}")
    book = book_for(random.choice([None, *overlays()]), own_text(random))
    assert agreed(book, [draw(book, random) for _ in range(SETS_OF_OWN)], bundle, tmp_path)


def test_both_read_what_is_as_long_as_may_be(bundle: Path, tmp_path: Path) -> None:
    """An expression at the bound, and one nested as deep as the server lets it."""
    long, deep = " || ".join(["diabetes"] * 330), "(" * 28 + "diabetes" + ")" * 28
    rule = {"group": "own_rules", "outcome": "go", "source": "x", "basis": "common_practice"}
    rules = [{"id": "own_long", "when": long}, {"id": "own_deep", "when": deep}]
    conditions = [{"id": "own_half", "when": long}]
    doubled = [{"id": "own_doubled", "when": "own_half || own_half"}]
    text = {
        "conditions": conditions,
        "rules": [one | rule for one in rules + doubled],
        "words": {"en": {"condition.own_half": "x", "rule.own_long": "x", "rule.own_deep": "x",
                         "rule.own_doubled": "x"}},
    }  # fmt: skip
    book = book_for(None, json.dumps(text))
    random = Random("heelwright long")
    assert agreed(book, [draw(book, random) for _ in range(50)], bundle, tmp_path)


def agreed(book: Book, cases: list[Drawn], bundle: Path, tmp_path: Path) -> set[str]:
    """The outcomes that both came to; a difference fails."""
    given, judged = tmp_path / "cases.json", tmp_path / "judged.json"
    given.write_text(json.dumps({"book": book.as_json(), "cases": cases}), encoding="utf-8")
    node(HERE / "judge_all.mjs", bundle, given, judged)
    by_phone = json.loads(judged.read_text(encoding="utf-8"))
    assert len(by_phone) == len(cases)
    outcomes = set()
    for case, theirs in zip(cases, by_phone, strict=True):
        ours = book.judge(*case).as_json()
        assert ours == theirs, case
        outcomes.add(ours["outcome"])
    return outcomes


def test_ten_thousand_in_all() -> None:
    assert sum(SETS.values()) + OWN_BOOKS * SETS_OF_OWN >= 10_000
