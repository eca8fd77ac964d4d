"""Rewrapping data keys under a new key-encrypting key: all opens before, during and after."""

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from io import StringIO
from pathlib import Path
from uuid import UUID

import pytest
from django.core.management import CommandError, call_command
from pytest_django import Settings

from heelwright import vault
from heelwright.ids import new_id
from heelwright.vault import configured, keyfile
from heelwright.vault.keyring import Keyring, Wrapped
from heelwright.vault.models import DataKey
from heelwright.vault.rotation import rotate
from tests.vault.trial_models import Person

Restart = Callable[[], None]


@pytest.fixture
def key_path(settings: Settings, tmp_path: Path) -> Path:
    path = tmp_path / "keys.json"
    keyfile.make(path)
    settings.HEELWRIGHT_KEY_FILE = str(path)
    return path


@pytest.fixture
def restart() -> Restart:
    """Keys are read once a process; a new process reads them again."""
    return configured._read.cache_clear


def people(practice: UUID, count: int) -> dict[UUID, str]:
    rows = [Person(practice_id=practice, name=f"name {n}") for n in range(count)]
    for row in rows:
        row.save()
    return {row.pk: row.name for row in rows}


def all_open(names: dict[UUID, str]) -> bool:
    return {row.pk: row.name for row in Person.objects.all()} == names


@pytest.mark.django_db
def test_rotation_rewraps_every_key_and_the_old_one_can_then_go(
    practice: UUID, key_path: Path, restart: Restart
) -> None:
    names = people(practice, 7)
    old = keyfile.load(key_path).current
    before = dict(DataKey.objects.values_list("pk", "wrapped"))
    keys = keyfile.add_key(key_path)
    restart()
    assert all_open(names)
    said = StringIO()
    call_command("vault_rotate", "--batch", "3", stdout=said)
    assert f"7 rewrapped now; 7 under {keys.current}" in said.getvalue()
    after = dict(DataKey.objects.values_list("pk", "wrapped"))
    assert before.keys() == after.keys()
    assert all(bytes(before[pk]) != bytes(after[pk]) for pk in before)
    without_old = replace(keys, keks={keys.current: keys.keks[keys.current]})
    assert old not in without_old.keks
    key_path.write_text(keyfile.dump(without_old))
    restart()
    assert all_open(names)
    call_command("vault_rotate", stdout=(again := StringIO()))
    assert "0 rewrapped now; 7 under" in again.getvalue()


@pytest.mark.django_db
def test_a_missing_old_key_is_reported_and_the_others_are_rewrapped(
    practice: UUID, key_path: Path, restart: Restart
) -> None:
    lost = people(practice, 2)
    original = keyfile.load(key_path)
    keyfile.add_key(key_path)
    restart()
    people(practice, 3)
    grown = keyfile.add_key(key_path)
    kept = {name: key for name, key in grown.keks.items() if name != original.current}
    key_path.write_text(keyfile.dump(replace(grown, keks=kept)))
    restart()
    with pytest.raises(CommandError, match="2 data keys open with none"):
        call_command("vault_rotate", "--batch", "1", stdout=StringIO())
    assert DataKey.objects.filter(kek_id=grown.current).count() == 3
    with pytest.raises(vault.KeyUnknown):
        _ = Person.objects.get(pk=next(iter(lost))).name
    key_path.write_text(keyfile.dump(grown))
    restart()
    call_command("vault_rotate", stdout=StringIO())
    assert set(DataKey.objects.values_list("kek_id", flat=True)) == {grown.current}


@pytest.mark.django_db(transaction=True)
def test_stopped_between_and_within_batches_it_goes_on_where_it_was(
    practice: UUID, key_path: Path, restart: Restart
) -> None:
    names = people(practice, 10)
    keys = keyfile.add_key(key_path)
    restart()

    class Stopped(Exception):
        pass

    class StopsAt(Keyring):
        def wrap(self, secret: bytes, context: bytes) -> Wrapped:
            wraps.append(context)
            if len(wraps) == 6:
                raise Stopped
            return Keyring.wrap(self, secret, context)

    wraps: list[bytes] = []
    with pytest.raises(Stopped):
        list(rotate(StopsAt(keys), batch=4))
    assert (
        DataKey.objects.filter(kek_id=keys.current).count() == 4
    )  # The second batch left no half.
    assert all_open(names)
    *_, last = rotate(Keyring(keys), batch=4)
    assert last.rewrapped == 6
    assert all_open(names)


@pytest.mark.django_db
def test_a_key_shredded_meanwhile_does_not_come_back(practice: UUID, key_path: Path) -> None:
    names = people(practice, 2)
    keys = keyfile.add_key(key_path)
    first = DataKey.objects.get(subject=min(names))

    class Shreds(Keyring):
        def wrap(self, secret: bytes, context: bytes) -> Wrapped:
            vault.shred(first.subject)
            return Keyring.wrap(self, secret, context)

    *_, last = rotate(Shreds(keys), batch=10)
    assert last.rewrapped == 1
    assert last.failed == ()
    assert not DataKey.objects.filter(subject=first.subject).exists()
    assert names.keys() - {first.subject} == set(DataKey.objects.values_list("subject", flat=True))


@pytest.mark.django_db
def test_a_key_rewrapped_meanwhile_by_another_run_stays_as_that_run_left_it(
    practice: UUID, key_path: Path, restart: Restart
) -> None:
    """A run that was started with older keys must not put a data key back under one of them."""
    names = people(practice, 1)
    stale = keyfile.add_key(key_path)
    newer = keyfile.add_key(key_path)
    restart()

    class Overtaken(Keyring):
        def wrap(self, secret: bytes, context: bytes) -> Wrapped:
            list(rotate(Keyring(newer), batch=10))
            return Keyring.wrap(self, secret, context)

    *_, last = rotate(Overtaken(stale), batch=10)
    assert last.rewrapped == 0
    assert DataKey.objects.get().kek_id == newer.current
    assert all_open(names)


PROCESS = """
import os, django
from django.conf import settings
settings.configure(
    SECRET_KEY="x", USE_TZ=True, INSTALLED_APPS=["heelwright.vault"],
    HEELWRIGHT_KEY_FILE=os.environ["KEYS"],
    DATABASES={"default": {"ENGINE": "django.db.backends.sqlite3", "NAME": os.environ["DB"]}},
)
django.setup()
"""
FILL = """
from uuid import UUID
from django.core.management import call_command
from heelwright import vault
call_command("migrate", verbosity=0)
practice = UUID(os.environ["PRACTICE"])
for n in range(60):
    place = vault.Place(practice, UUID(int=n + 1), "t", "c", str(n))
    print(vault.seal_bytes(place, b"value %d" % n).hex())
"""
ROTATE = """
from django.core.management import call_command
call_command("vault_rotate", "--batch", "1")
"""
OPEN = """
import sys
from uuid import UUID
from heelwright import vault
practice = UUID(os.environ["PRACTICE"])
for n, line in enumerate(sys.stdin):
    place = vault.Place(practice, UUID(int=n + 1), "t", "c", str(n))
    assert vault.open_bytes(place, bytes.fromhex(line)) == b"value %d" % n
print(n + 1, "open")
"""


def test_killed_half_way_the_next_run_finishes(tmp_path: Path) -> None:
    """A real process, a database file, and SIGKILL."""
    keys, database = tmp_path / "keys.json", tmp_path / "db.sqlite3"
    keyfile.make(keys)
    environment = {
        **os.environ,
        "KEYS": str(keys),
        "DB": str(database),
        "PRACTICE": str(new_id()),
        "PYTHONPATH": str(Path(vault.__file__).parents[2]),
    }

    def run(script: str, given: str = "") -> str:
        command = [sys.executable, "-c", PROCESS + script]
        return subprocess.run(
            command, env=environment, input=given, capture_output=True, text=True, check=True
        ).stdout

    sealed = run(FILL)
    keyfile.add_key(keys)
    process = subprocess.Popen(
        [sys.executable, "-c", PROCESS + ROTATE], env=environment, stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    for line in process.stdout:
        if line.startswith("20 "):
            process.send_signal(signal.SIGKILL)
            break
    process.stdout.close()
    assert process.wait() == -signal.SIGKILL
    assert run(OPEN, sealed) == "60 open\n"
    last = run(ROTATE).splitlines()[-1]
    done = int(last.split()[0])
    assert 0 < done <= 40
    assert "; 60 under" in last
    assert run(OPEN, sealed) == "60 open\n"
