"""The demo's own secret and keys, and on which settings it runs."""

import os
import stat
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from heelwright.settings import demo
from heelwright.vault import keyfile


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_secret_is_made_once_and_for_its_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "secret"
    before = os.umask(0)
    try:
        made = demo.secret(path)
    finally:
        os.umask(before)
    assert len(made) >= 50
    assert mode(path) == 0o600
    assert demo.secret(path) == made
    assert [p.name for p in tmp_path.iterdir()] == ["secret"]
    assert demo.secret(tmp_path / "other") != made


def test_the_keys_are_made_once_and_for_their_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "keys.json"
    assert demo.keys(path) == str(path)
    assert mode(path) == 0o600
    made = keyfile.load(path)
    demo.keys(path)
    assert keyfile.load(path) == made


def test_the_demo_refuses_other_settings() -> None:
    with pytest.raises(CommandError, match="its own settings"):
        call_command("demo", "--load-only")
