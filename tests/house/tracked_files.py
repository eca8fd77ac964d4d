"""House rules of the tracked files: nothing built or of one machine, no address of a registry.

The patterns are written with [.] and [/] so that this file does not match itself.
"""

import json
import re
import subprocess
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from tests.house.faults import ROOT, Fault

BUILT = re.compile(
    r"(^|/)(node_modules|dist|__pycache__|\.venv|var|test-results|[^/]+\.egg-info)/"
    r"|\.(pyc|pyo|whl|tsbuildinfo)$|\.sqlite3|(^|/)(uv\.lock|pylock[^/]*\.toml|\.DS_Store)$"
)
REGISTRIES = re.compile(
    r"registry[.]npmjs|registry[.]yarnpkg|py[p]i[.](?:org|python)|python[h]osted|"
    r"(?:deb|security|ftp)[.]debian[.]org"
)
MACHINE_PATHS = re.compile(r"(?<![\w/.:$}{)>~*-])[/](?:work|root|tmp|home|Users)[/]\w")
CONSOLE = re.compile(r"\bconsole\s*\.\s*\w")
LARGEST = 1024 * 1024


def tracked(root: Path = ROOT) -> list[Path]:
    """What git tracks and is there, relative to the root."""
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=root, capture_output=True, text=True, check=True
    ).stdout
    paths = [Path(name) for name in listing.split("\0") if name]
    return [path for path in paths if (root / path).is_file()]


def build_output(path: Path, size: int) -> Iterator[Fault]:
    if BUILT.search(PurePosixPath(path).as_posix()):
        yield Fault(path, 1, "is built or belongs to one machine: remove it and ignore it")
    if size > LARGEST:
        yield Fault(path, 1, f"has {size} bytes: large things do not belong here")


def unwanted_words(path: Path, text: str) -> Iterator[Fault]:
    for number, line in enumerate(text.splitlines(), start=1):
        if REGISTRIES.search(line):
            yield Fault(path, number, "names the host of a package registry: leave the host out")
        if MACHINE_PATHS.search(line):
            yield Fault(path, number, "names a path of one machine: make it relative")


def console_calls(path: Path, text: str) -> Iterator[Fault]:
    """What a phone logs can be read by whoever plugs it in."""
    for number, line in enumerate(text.splitlines(), start=1):
        if CONSOLE.search(line):
            yield Fault(path, number, "writes to the console: remove it")


def resolved_addresses(path: Path, text: str) -> Iterator[Fault]:
    for name, entry in json.loads(text)["packages"].items():
        if "resolved" in entry:
            yield Fault(path, 1, f"{name} has a resolved address: see pwa/.npmrc")
