"""The key file: made once, closed to others, never overwritten; and what starts without one."""

import json
import os
import stat
from pathlib import Path

import pytest
from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from pytest_django import Settings

from heelwright.vault import configured, keyfile
from heelwright.vault.keyfile import KeyFileError


def test_a_made_file_is_its_owners_alone_whatever_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "keys.json"
    before = os.umask(0)
    try:
        made = keyfile.make(path)
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert keyfile.load(path) == made


def test_a_file_that_is_there_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "keys.json"
    made = keyfile.make(path)
    with pytest.raises(KeyFileError, match="exists already"):
        keyfile.make(path)
    assert keyfile.load(path) == made


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o644, 0o620, 0o602, 0o610, 0o601, 0o660])
def test_a_file_that_others_can_reach_is_refused(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "keys.json"
    keyfile.make(path)
    path.chmod(mode)
    with pytest.raises(KeyFileError, match="chmod 600"):
        keyfile.load(path)


def test_two_files_share_no_key(tmp_path: Path) -> None:
    one, two = keyfile.make(tmp_path / "one"), keyfile.make(tmp_path / "two")
    assert set(one.keks.values()).isdisjoint(two.keks.values())
    assert set(one.evidence_seeds.values()).isdisjoint(two.evidence_seeds.values())


def test_an_added_key_becomes_current_and_the_old_one_stays(tmp_path: Path) -> None:
    path = tmp_path / "keys.json"
    before = keyfile.make(path)
    after = keyfile.add_key(path)
    assert after == keyfile.load(path)
    assert after.current != before.current
    assert after.keks[before.current] == before.keks[before.current]
    assert after.evidence_seeds == before.evidence_seeds
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert list(tmp_path.iterdir()) == [path]


def _form(path: Path) -> dict[str, object]:
    form: dict[str, object] = json.loads(path.read_text())
    return form


@pytest.mark.parametrize(
    "damage",
    [
        {"current": "kek-none"},
        {"keys": {"a": "c2hvcnQ="}},
        {"keys": {"a": "no base64"}},
        {"keys": ["a"]},
        {"evidence": {}},
        {"evidence": {"current": "gone", "seeds": {}}},
    ],
)
def test_damaged_keys_are_refused_without_showing_them(
    tmp_path: Path, damage: dict[str, object]
) -> None:
    path = tmp_path / "keys.json"
    made = keyfile.make(path)
    path.write_text(json.dumps(_form(path) | damage))
    with pytest.raises(KeyFileError) as caught:
        keyfile.load(path)
    shown = f"{caught.value}{caught.value!r}"
    assert all(key.hex() not in shown for key in made.keks.values())
    assert "c2hvcnQ" not in shown


def test_keys_do_not_show_in_their_own_description(tmp_path: Path) -> None:
    made = keyfile.make(tmp_path / "keys.json")
    assert all(repr(key) not in repr(made) for key in made.keks.values())
    assert all(repr(seed) not in repr(made) for seed in made.evidence_seeds.values())


def test_by_hand(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "keys.json"
    assert keyfile.main(["make", str(path)]) == 0
    assert keyfile.main(["make", str(path)]) == 1
    assert keyfile.main(["add-key", str(path)]) == 0
    assert keyfile.main(["something"]) == 2
    assert len(keyfile.load(path).keks) == 2
    said = capsys.readouterr()
    assert "exists already" in said.err
    for key in keyfile.load(path).keks.values():
        assert key.hex() not in said.out + said.err


def _starts() -> None:
    apps.get_app_config("vault").ready()


def test_no_keys_no_start(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HEELWRIGHT_KEYS", raising=False)
    settings.HEELWRIGHT_REQUIRE_KEYS = True
    settings.HEELWRIGHT_KEY_FILE = ""
    with pytest.raises(ImproperlyConfigured, match="HEELWRIGHT_KEY_FILE"):
        _starts()


def test_an_unreadable_or_open_key_file_does_not_start(settings: Settings, tmp_path: Path) -> None:
    settings.HEELWRIGHT_KEY_FILE = str(tmp_path / "absent.json")
    with pytest.raises(ImproperlyConfigured, match="cannot read"):
        _starts()
    path = tmp_path / "open.json"
    keyfile.make(path)
    path.chmod(0o644)
    settings.HEELWRIGHT_KEY_FILE = str(path)
    with pytest.raises(ImproperlyConfigured, match="chmod 600"):
        _starts()


def test_keys_may_come_from_the_environment(
    settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = keyfile.generate()
    monkeypatch.setenv("HEELWRIGHT_KEYS", keyfile.dump(made))
    with pytest.raises(ImproperlyConfigured, match="not both"):
        _starts()
    settings.HEELWRIGHT_KEY_FILE = ""
    _starts()
    assert configured.keys() == made
