"""The `heelwright` command on a fresh checkout, where nothing is set yet. Check: our own rule."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import get_commands

from heelwright.__main__ import DEMO
from heelwright.settings.demo import keys
from tests.house.faults import ROOT

WITHOUT_SETTINGS = {"demo", "rulebook"}
NEEDING = sorted(
    name
    for name, app in get_commands().items()
    if str(app).startswith("heelwright.") and name not in WITHOUT_SETTINGS
)
README_LINES = re.findall(
    r"^\.venv/bin/heelwright (.+)$", (ROOT / "README.md").read_text(), re.MULTILINE
)
NAMED = ("HEELWRIGHT_SECRET_KEY", "HEELWRIGHT_HOSTS", "HEELWRIGHT_KEY_FILE")


def ran(*arguments: str, **settings: str) -> subprocess.CompletedProcess[str]:
    nothing = {k: v for k, v in os.environ.items() if "DJANGO" not in k and "HEELWRIGHT" not in k}
    return subprocess.run(
        [sys.executable, "-m", "heelwright", *arguments],
        cwd=ROOT,
        env={**nothing, **settings},
        capture_output=True,
        text=True,
        check=False,
    )


def assert_two_lines(told: subprocess.CompletedProcess[str], *says: str) -> None:
    assert told.returncode == 2, told
    assert len(told.stderr.splitlines()) == 2, told.stderr
    for words in says:
        assert words in told.stderr


@pytest.mark.parametrize("name", [*NEEDING, "migrate", "no_such_command"])
def test_a_command_without_its_settings_names_them(name: str) -> None:
    assert_two_lines(ran(name), *NAMED, DEMO)


def test_what_alone_is_missing_is_named_alone(tmp_path: Path) -> None:
    told = ran("feed_trim", HEELWRIGHT_SECRET_KEY="some", HEELWRIGHT_HOSTS="a.example")
    assert_two_lines(told, "Set HEELWRIGHT_KEY_FILE in", DEMO)
    there = str(tmp_path / "keys.json")
    all_but_the_file = {**dict.fromkeys(NAMED, "some"), "HEELWRIGHT_KEY_FILE": there}
    assert_two_lines(ran("feed_trim", **all_but_the_file), "cannot read the key file", there)


def test_a_database_that_is_not_there_is_named(tmp_path: Path) -> None:
    demo = {"DJANGO_SETTINGS_MODULE": DEMO, "HEELWRIGHT_KEY_FILE": keys(tmp_path / "keys.json")}
    empty = ran("evidence", "verify", HEELWRIGHT_DATABASE_URL=f"sqlite:///{tmp_path}/a", **demo)
    assert_two_lines(empty, "no such table", "heelwright migrate")
    wrong = ran("evidence", "verify", HEELWRIGHT_DATABASE_URL="nowhere", **demo)
    assert_two_lines(wrong, "HEELWRIGHT_DATABASE_URL is no address")


def test_help_and_the_rulebook_need_no_settings_even_where_some_are_named() -> None:
    production = {"DJANGO_SETTINGS_MODULE": "heelwright.settings.production"}
    for arguments in (
        [],
        ["--help"],
        ["help", "evidence"],
        ["serve", "--help"],
        ["rulebook", "check"],
    ):
        told = ran(*arguments, **production)
        assert (told.returncode, told.stderr) == (0, ""), arguments
    assert "evidence" in ran().stdout


def test_each_line_of_the_readme_works_as_written(tmp_path: Path) -> None:
    doing = [shlex.split(line) for line in README_LINES]
    rulebook = [line for line in doing if line[0] == "rulebook"]
    (verify,) = [line for line in doing if line[0] == "evidence"]
    assert [line[1] for line in rulebook] == ["check", "explain"]
    for line in rulebook:
        assert ran(*line).returncode == 0
    # The demo's own place is somebody's; its settings take another database and other keys.
    beside = {
        "HEELWRIGHT_DATABASE_URL": f"sqlite:///{tmp_path}/practice.sqlite3",
        "HEELWRIGHT_KEY_FILE": keys(tmp_path / "keys.json"),
    }
    assert ran("migrate", "--settings", DEMO, **beside).returncode == 0
    assert ran(*verify, **beside).stdout == "There is no evidence to check yet.\n"
