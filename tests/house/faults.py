"""Where a house rule is broken: file, line, and what to do instead."""

from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Fault:
    path: Path
    line: int
    text: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.text}"


def listed(faults: list[Fault]) -> str:
    return "\n".join(map(str, faults))
