"""What the docs promise, read from them and from the code, so that the two can be compared."""

import re
from collections.abc import Iterator
from pathlib import Path

from tests.house.faults import ROOT, Fault

TARGET = re.compile(r"^([a-z]+):.*## ", re.MULTILINE)
MADE = re.compile(r"\bmake ([a-z]+)\b")
RUN = re.compile(r"\bheelwright ([a-z_]+)\b")
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
CODE = re.compile(r"```.*?```|`[^`\n]+`", re.DOTALL)
SETTING = re.compile(r"\bHEELWRIGHT_[A-Z_]+\b")
DECISION_PARTS = ("**Context.**", "**Decision.**", "**Consequences.**")


def make_targets(makefile: str) -> set[str]:
    return set(TARGET.findall(makefile))


def commands_named(text: str, pattern: re.Pattern[str]) -> set[str]:
    """The commands in code spans and blocks; prose may say "make sure"."""
    return {name for code in CODE.findall(text) for name in pattern.findall(code)}


def settings_named(text: str) -> set[str]:
    return set(SETTING.findall(text))


def dead_links(path: Path, text: str, root: Path = ROOT) -> Iterator[Fault]:
    for number, line in enumerate(text.splitlines(), start=1):
        for target in LINK.findall(line):
            if "://" in target or target.startswith("mailto:"):
                continue
            if not (root / path.parent / target).exists():
                yield Fault(path, number, f"links to {target}, which is not there")


def missing_parts(path: Path, text: str) -> Iterator[Fault]:
    for part in DECISION_PARTS:
        if part not in text and f"## {part.strip('*.')}" not in text:
            yield Fault(path, 1, f"has no {part.strip('*.')}")
