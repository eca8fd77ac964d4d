"""Ten thousand random answer sets, judged by the server and by the phone's built code."""

import json
import shutil
import subprocess
from pathlib import Path
from random import Random

import pytest

from tests.parity.random_answers import draw
from tests.parity.vectors import HERE, book_of

PWA = HERE.parents[1] / "pwa"
SETS = {"base": 8_000, "tiny": 1_000, "us": 500, "uk": 500}
# As in a browser under a content security policy without 'unsafe-eval'.
NO_EVAL = "--disallow-code-generation-from-strings"


def node(*arguments: str | Path) -> None:
    program = shutil.which("node")
    assert program, "Node is needed; `make setup` brings it"
    subprocess.run([program, *arguments], check=True, cwd=PWA)


@pytest.fixture(scope="module")
def bundle(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("screening")
    node(HERE / "bundle.mjs", PWA, folder)
    return folder / "screening.mjs"


@pytest.mark.parametrize("name", SETS)
def test_both_judge_alike(name: str, bundle: Path, tmp_path: Path) -> None:
    book, random = book_of(name), Random(f"heelwright {name}")
    cases = [draw(book, random) for _ in range(SETS[name])]
    given, judged = tmp_path / "cases.json", tmp_path / "judged.json"
    given.write_text(json.dumps({"book": book.as_json(), "cases": cases}), encoding="utf-8")
    node(NO_EVAL, HERE / "judge_all.mjs", bundle, given, judged)
    by_phone = json.loads(judged.read_text(encoding="utf-8"))
    assert len(by_phone) == len(cases)
    outcomes = set()
    for case, theirs in zip(cases, by_phone, strict=True):
        ours = json.loads(json.dumps(book.judge(*case).as_json()))
        assert ours == theirs, case
        outcomes.add(ours["outcome"])
    # Answers that all came to the same would show nothing.
    assert outcomes == {"go", "go_with_limits", "needs_clearance", "refer_first", "emergency"}


def test_ten_thousand_in_all() -> None:
    assert sum(SETS.values()) >= 10_000
