"""What goes wrong with a book or with answers: always which file or field, and the remedy."""

from collections.abc import Sequence
from dataclasses import dataclass


class BookError(Exception):
    """A book that may not be used. `entry` is the id of the rule, question or limit at fault."""

    def __init__(self, file: str, entry: str, text: str, remedy: str) -> None:
        super().__init__(f"{file}: {entry}: {text}. {remedy}")
        self.file, self.entry, self.text, self.remedy = file, entry, text, remedy


@dataclass(frozen=True)
class Problem:
    """One fault in answers or findings. Never holds the value: that is health data."""

    field: str
    code: str
    text: str
    remedy: str


class InvalidAnswers(Exception):
    """Answers or findings that cannot be judged; check them with `validate` first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("; ".join(f"{p.field}: {p.code}" for p in problems))
        self.problems = tuple(problems)
