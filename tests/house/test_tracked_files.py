"""The tracked files keep the house rules, and each rule finds what it is there to find."""

import json
from pathlib import Path

import pytest

from tests.house import tracked_files
from tests.house.faults import ROOT, listed

# Put the words together here, so that this file does not name what it looks for.
SLASH, DOT, NONE = "/", ".", ""


def read(path: Path) -> str | None:
    try:
        return (ROOT / path).read_text()
    except UnicodeDecodeError:
        return None


def test_nothing_built_is_tracked() -> None:
    paths = tracked_files.tracked()
    assert paths
    faults = [
        fault
        for path in paths
        for fault in tracked_files.build_output(path, (ROOT / path).stat().st_size)
    ]
    assert not faults, listed(faults)


def test_no_file_names_a_registry_or_a_path_of_one_machine() -> None:
    faults = [
        fault
        for path in tracked_files.tracked()
        if (text := read(path)) is not None
        for fault in tracked_files.unwanted_words(path, text)
    ]
    assert not faults, listed(faults)


def test_the_phone_app_never_writes_to_the_console() -> None:
    sources = [p for p in (ROOT / "pwa" / "src").rglob("*") if p.suffix in {".ts", ".svelte"}]
    assert sources
    faults = [
        fault
        for source in sources
        for fault in tracked_files.console_calls(source.relative_to(ROOT), source.read_text())
    ]
    assert not faults, listed(faults)


def test_no_package_lock_holds_an_address() -> None:
    locks = [path for path in tracked_files.tracked() if path.name == "package-lock.json"]
    assert Path("pwa/package-lock.json") in locks
    faults = [
        fault
        for path in locks
        for fault in tracked_files.resolved_addresses(path, (ROOT / path).read_text())
    ]
    assert not faults, listed(faults)


@pytest.mark.parametrize(
    "path",
    [
        "pwa/dist/index.html",
        "pwa/node_modules/svelte/package.json",
        "backend/heelwright/__pycache__/ids.cpython-311.pyc",
        "backend/heelwright.egg-info/PKG-INFO",
        "var/demo/keys.json",
        "heelwright.sqlite3-wal",
        "uv.lock",
    ],
)
def test_build_output_is_found(path: str) -> None:
    assert len(list(tracked_files.build_output(Path(path), 10))) == 1


@pytest.mark.parametrize("path", ["docs/pictures/visit.png", "pwa/src/store/distance.ts"])
def test_sources_pass_and_large_files_do_not(path: str) -> None:
    assert list(tracked_files.build_output(Path(path), 10)) == []
    assert len(list(tracked_files.build_output(Path(path), 2_000_000))) == 1


@pytest.mark.parametrize(
    "line",
    [
        f"see https://registry{DOT}npmjs.org/svelte",
        f"--index-url https://pypi{DOT}org/simple",
        f"from files.python{NONE}hosted.org",
        f"cd {SLASH}work/main",
        f"open('{SLASH}tmp/x')",
        f"open('{SLASH}home/anna/x')",
    ],
)
def test_hosts_and_machine_paths_are_found(line: str) -> None:
    assert len(list(tracked_files.unwanted_words(Path("x"), line))) == 1


@pytest.mark.parametrize(
    "line",
    [
        "see https://example.org/work/main",
        "./tmp/x",
        "$(BIN)/root/x",
        "docs/home/x",
        "a PyPI package",
    ],
)
def test_other_addresses_and_paths_pass(line: str) -> None:
    assert list(tracked_files.unwanted_words(Path("x"), line)) == []


def test_console_calls_are_found() -> None:
    text = "const a = 1;\n  console.log(answers);\nconsoleLike.log(1);\n"
    assert [f.line for f in tracked_files.console_calls(Path("x"), text)] == [2]


def test_resolved_addresses_are_found() -> None:
    lock = {"packages": {"": {}, "node_modules/a": {"resolved": "x"}, "node_modules/b": {}}}
    faults = list(tracked_files.resolved_addresses(Path("x"), json.dumps(lock)))
    assert len(faults) == 1
    assert "node_modules/a" in faults[0].text
