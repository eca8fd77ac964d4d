"""`heelwright rulebook check|explain|sources`: on the shipped books and on invented files."""

import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from heelwright.rulebook import book_for, overlays
from heelwright.rulebook.sources import shipped_sources_page
from tests.house.faults import ROOT
from tests.standards.clients import DIABETIC, WELL, finding

EXAMPLE = ROOT / "demo_data" / "rulebook"


def said(*arguments: Any) -> str:
    out = StringIO()
    call_command("rulebook", *map(str, arguments), stdout=out)
    return out.getvalue()


def written(folder: Path, **client: Any) -> Path:
    file = folder / "client.json"
    file.write_text(json.dumps(client), encoding="utf-8")
    return file


def test_check_says_what_each_book_holds() -> None:
    lines = said("check").splitlines()
    assert [line.split(":")[0] for line in lines] == ["base", *overlays()]
    assert f"{len(book_for(None).content.rules)} rules" in lines[0]
    assert book_for(None).version in lines[0]


def test_check_of_own_rules_says_what_each_book_becomes() -> None:
    text = (EXAMPLE / "own_rules.yaml").read_text(encoding="utf-8")
    lines = said("check", EXAMPLE / "own_rules.yaml").splitlines()
    assert book_for(None, text).version in lines[0]
    assert f"{len(book_for(None).content.rules) + 2} rules" in lines[0]


def test_check_refuses_loosening_rules_by_name(tmp_path: Path) -> None:
    file = tmp_path / "own.yaml"
    file.write_text("settings: {screen_valid_hours: 48}", encoding="utf-8")
    with pytest.raises(CommandError, match=r"settings.screen_valid_hours: 48 is looser than 24"):
        said("check", file)


def test_sources_is_the_page() -> None:
    assert said("sources") == shipped_sources_page()


def test_explain_tells_outcome_reasons_sources_limits_and_what_to_ask(tmp_path: Path) -> None:
    answers = {key: value for key, value in DIABETIC.items() if key != "kidney_failure"}
    crack = finding("crack", depth_mm=2.5)
    told = said("explain", written(tmp_path, age=50, place="uk", answers=answers, findings=[crack]))
    words = book_for("uk").content.words["en"]
    assert "United Kingdom" in told.splitlines()[0]
    assert "Outcome: go with limits, held until what is open is answered" in told
    assert f"go with limits: {words['rule.diabetes_limits']}" in told
    assert "crack_deep, source: Common practice, no source (deeper than about 2 mm)" in told
    assert f"needs clearance: {words['rule.kidney']}" in told
    assert f"waits for: {words['question.kidney_failure']} (kidney_failure)" in told
    assert words["limit.diabetic_feet"] in told
    assert "Fine two-sided diamond: 9000 turns a minute at most" in told
    assert "Softener: 12 % urea at most, 2 minutes at least, 3 minutes at most" in told
    assert f"- {words['question.kidney_failure']} (kidney_failure)" in told.split("Ask:")[1]
    assert "Next visit: in 4 weeks" in told


def test_explain_tells_the_referral(tmp_path: Path) -> None:
    told = said("explain", written(tmp_path, age=50, answers=WELL | {"open_sore": True}))
    assert "Outcome: refer first\nReferral: to gp, within: one working day" in told
    assert "Ask:" not in told


def test_the_example_can_be_explained_with_its_own_rules() -> None:
    told = said("explain", EXAMPLE / "client.yaml")
    assert "own_crack, source: An invented rule of our own (common practice, no source)" in told
    assert "Speed at the rim: 3 m/s at most" in told


@pytest.mark.parametrize(
    ("client", "says"),
    [
        ({"answers": {"diabetes": "perhaps"}}, "answers.diabetes: The answer is not of the kind"),
        ({"answers": {"diabetis": True}}, "answers.diabetis: There is no such question"),
        ({"answers": [1]}, "answers: not a list of questions"),
        ({"findings": {"what": "crack"}}, "findings: not a list"),
        ({"findings": [3]}, "findings: not a list"),
        ({"findings": [{"what": "crack"}]}, "findings.0.foot: A finding cannot do without"),
        ({"age": "old"}, "age: The answer is not of the kind"),
        ({"age": 200}, "age: The value is outside"),
        ({"place": "moon"}, "place: not known. Use one of au, ca, uk, us"),
        ({"place": ["us"]}, "place: not known"),
        ({"colour": "red"}, "colour: no such field. Use these: age, answers"),
        ({"own_rules": 3}, "own_rules: not a name"),
        ({"own_rules": "nowhere.yaml"}, "nowhere.yaml: No such file"),
    ],
    ids=str,
)
def test_a_fault_names_the_field(tmp_path: Path, client: dict[str, Any], says: str) -> None:
    with pytest.raises(CommandError) as caught:
        said("explain", written(tmp_path, **client))
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "text", [b"answers: [", b"- a", b"", b"\xff\xfe", b"a: 2026-13-45", b"[" * 5000]
)
def test_a_file_that_cannot_be_read_is_named(tmp_path: Path, text: bytes) -> None:
    file = tmp_path / "client.yaml"
    file.write_bytes(text)
    with pytest.raises(CommandError, match="client.yaml"):
        said("explain", file)


def test_it_needs_no_keys_and_no_database() -> None:
    plain = {key: value for key, value in os.environ.items() if "DJANGO" not in key}
    told = subprocess.run(
        [sys.executable, "-m", "heelwright", "rulebook", "check"],
        env={key: value for key, value in plain.items() if "HEELWRIGHT" not in key},
        check=True,
        capture_output=True,
        text=True,
    )  # fmt: skip
    assert told.stdout == said("check")
