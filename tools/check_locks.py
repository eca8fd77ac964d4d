"""Checks the lock files against what asks for them, without the network.

Every requirement of pyproject.toml has a pin that satisfies it and every pin has a hash; what is
installed agrees with the pins and with itself; each package-lock.json agrees with its package.json.
It does not look for newer releases: `make lock` does.
"""

import json
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
NPM_FOLDERS = (ROOT / "pwa", ROOT / "tests" / "bench" / "peers")
PIN = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)(\[[^\]]*\])?==(?P<version>[^\s;\\]+)")


def pins(lock: str) -> dict[str, list[str]]:
    """Name to version, or to several by Python. A pin without a hash is missing."""
    found: dict[str, list[str]] = {}
    for block in re.split(r"\n(?=\S)", lock):
        match = PIN.match(block)
        if match and "--hash=sha256:" in block:
            found.setdefault(canonicalize_name(match["name"]), []).append(match["version"])
    return found


def asked_for(pyproject: str) -> list[Requirement]:
    data = tomllib.loads(pyproject)
    project = data["project"]
    lists = [
        data["build-system"]["requires"],
        project["dependencies"],
        *project.get("optional-dependencies", {}).values(),
    ]
    asked = (Requirement(line) for lines in lists for line in lines)
    return [requirement for requirement in asked if requirement.name != project.get("name")]


def python_faults(pyproject: str, lock: str) -> Iterator[str]:
    pinned = pins(lock)
    for requirement in asked_for(pyproject):
        versions = pinned.get(canonicalize_name(requirement.name), [])
        fits = [requirement.specifier.contains(each, prereleases=True) for each in versions]
        if not versions:
            yield f"{requirement} has no pin with a hash in requirements.txt"
        elif not any(fits):
            yield f"{requirement} is pinned to {' and '.join(versions)} in requirements.txt"


def npm_faults(package: str, lock: str) -> Iterator[str]:
    asked, locked = json.loads(package), json.loads(lock)["packages"]
    for section in ("dependencies", "devDependencies"):
        if asked.get(section, {}) != locked[""].get(section, {}):
            yield f"{section} of package.json and package-lock.json differ"
    for path, entry in locked.items():
        if path and not entry.get("link") and "integrity" not in entry:
            yield f"{path} in package-lock.json has no integrity hash"


def read_npm(folder: Path) -> tuple[str, str]:
    return (folder / "package.json").read_text(), (folder / "package-lock.json").read_text()


def installed_faults() -> Iterator[str]:
    for command, folder in (
        ([sys.executable, "-m", "pip", "check"], ROOT),
        (["npm", "ls", "--all", "--silent"], ROOT / "pwa"),
    ):
        done = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)
        if done.returncode:
            yield f"{' '.join(command[-3:])} says:\n{done.stdout}{done.stderr}"


def main() -> int:
    read = {name: (ROOT / name).read_text() for name in ("pyproject.toml", "requirements.txt")}
    faults = [
        *python_faults(read["pyproject.toml"], read["requirements.txt"]),
        *(fault for folder in NPM_FOLDERS for fault in npm_faults(*read_npm(folder))),
        *installed_faults(),
    ]
    for fault in faults:
        print(f"locks: {fault}", file=sys.stderr)
    if faults:
        print(
            "locks: run `make lock`, or `npm install` beside the package.json, and commit.",
            file=sys.stderr,
        )
    else:
        print("locks: agree with pyproject.toml, package.json and what is installed")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
