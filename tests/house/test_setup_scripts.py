"""The set-up scripts on machines that lack something: each says what, and how to get it."""

import shutil
import subprocess
from pathlib import Path

import pytest

from tests.house.faults import ROOT

ALWAYS_THERE = ("sh", "rm", "env")


class Machine:
    """A search path that holds what the test puts there, and nothing else."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in ALWAYS_THERE:
            real = shutil.which(name)
            assert real, name
            (folder / name).symlink_to(real)
        self.add("id", "echo 1000")

    def add(self, name: str, script: str) -> None:
        path = self.folder / name
        path.write_text(f"#!/bin/sh\n{script}\n")
        path.chmod(0o755)

    def run(self, script: str, *arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [str(ROOT / "tools" / script), *arguments],
            env={"PATH": str(self.folder)},
            cwd=self.folder,
            capture_output=True,
            text=True,
            check=False,
        )


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    return Machine(tmp_path)


def test_a_python_that_is_too_old_is_named(machine: Machine) -> None:
    machine.add("python3", '[ "$1" = --version ] && echo "Python 3.9.2" || exit 1')
    done = machine.run("make_venv.sh", "venv")
    assert done.returncode == 1
    assert "needs Python 3.11 or newer; 'python3' is Python 3.9.2" in done.stderr
    assert "apt-get install" in done.stderr


def test_no_python_at_all_is_said(machine: Machine) -> None:
    done = machine.run("make_venv.sh", "venv")
    assert done.returncode == 1
    assert "missing" in done.stderr


def test_a_newer_python_under_its_own_name_is_found(machine: Machine) -> None:
    machine.add("python3", "exit 1")
    machine.add("python3.12", 'echo "$@" >> calls')
    assert machine.run("make_venv.sh", "venv").returncode == 0
    assert (machine.folder / "calls").read_text().endswith("-m venv venv\n")


def test_a_python_without_venv_is_told_what_to_install(machine: Machine) -> None:
    machine.add("python3", 'case "$2" in *ensurepip*) exit 1;; esac')
    done = machine.run("make_venv.sh", "venv")
    assert done.returncode == 1
    assert "apt-get install python3-venv" in done.stderr


def test_a_failed_environment_is_not_left_behind(machine: Machine) -> None:
    machine.add("python3", 'if [ "$1" = -m ]; then echo x > venv; exit 1; fi')
    assert machine.run("make_venv.sh", "venv").returncode == 1
    assert not (machine.folder / "venv").exists()


@pytest.mark.parametrize(
    ("version", "enough"),
    [("18.20.0", False), ("20.18.9", False), ("20.19.0", True), ("22.0.0", True)],
)
def test_node_is_enough_from_20_19(machine: Machine, version: str, enough: bool) -> None:
    real = shutil.which("node")
    assert real
    program = f"Object.defineProperty(process.versions, 'node', {{value: '{version}'}});"
    machine.add("node", f'exec "{real}" -e "{program} $2"')
    machine.add("npm", "exit 0")
    assert (machine.run("node_is_enough.sh").returncode == 0) is enough


def test_a_node_without_npm_is_not_enough(machine: Machine) -> None:
    real = shutil.which("node")
    assert real
    (machine.folder / "node").symlink_to(real)
    assert machine.run("node_is_enough.sh").returncode != 0


def test_no_chromium_and_no_way_to_install_it_is_said(machine: Machine) -> None:
    done = machine.run("find_chromium.sh")
    assert done.returncode == 1
    assert "apt-get install chromium" in done.stderr


def test_a_chromium_in_the_path_is_enough(machine: Machine) -> None:
    machine.add("chromium-browser", "exit 0")
    done = machine.run("find_chromium.sh")
    assert done.returncode == 0
    assert done.stdout.strip() == str(machine.folder / "chromium-browser")


CHECKERS = ("ruff", "mypy", "lint-imports", "codespell", "python", "npm")


@pytest.mark.parametrize("failing", [None, *CHECKERS])
def test_a_check_fails_where_either_half_of_the_checkers_does(
    machine: Machine, failing: str | None
) -> None:
    (machine.folder / "pwa").mkdir()
    for tool in ("mktemp", "cat"):
        (machine.folder / tool).symlink_to(shutil.which(tool) or tool)
    for checker in CHECKERS:
        machine.add(checker, f"echo said by {checker}; exit {int(checker == failing)}")
    done = machine.run("check.sh")
    assert (done.returncode == 0) == (failing is None)
    assert f"said by {failing or 'npm'}" in done.stdout
