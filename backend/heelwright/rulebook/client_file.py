"""A client on file, to try the rulebook with: age, answers, findings, place, own rules.

Answers for reading the file and for naming the field at fault; nothing of it is kept.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from heelwright.rulebook.book import Book, book_for, overlays
from heelwright.rulebook.errors import Problem
from heelwright.rulebook.plain_yaml import UniqueKeyLoader

FIELDS = ("age", "answers", "findings", "place", "own_rules")


class FileError(Exception):
    """What is wrong with a file, by field, each with its remedy."""


@dataclass(frozen=True)
class ClientFile:
    book: Book
    age: int | None
    answers: dict[str, Any]
    findings: list[dict[str, Any]]


def read_client(file: Path) -> ClientFile:
    """Raises FileError for what cannot be read, BookError for own rules that do not fit."""
    held = _mapping(file, read_text(file))
    for field in held:
        if field not in FIELDS:
            raise FileError(f"{field}: no such field. Use these: {', '.join(FIELDS)}.")
    answers, findings = held.get("answers") or {}, held.get("findings") or []
    if not isinstance(answers, dict) or not all(isinstance(key, str) for key in answers):
        raise FileError("answers: not a list of questions. Write each as `question: answer`.")
    if not isinstance(findings, list) or not all(isinstance(one, dict) for one in findings):
        raise FileError("findings: not a list. Begin each finding with a dash.")
    # On the phone each finding has an id of its own; on paper its place in the list will do.
    marked = [{"id": f"finding_{n}"} | one for n, one in enumerate(findings, 1)]
    book = book_for(_place(held.get("place")), _own_rules(file, held.get("own_rules")))
    problems = book.validate(answers, marked, held.get("age"))
    if problems:
        raise FileError("\n".join(map(_told, problems)))
    return ClientFile(book, held.get("age"), answers, marked)


def read_text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except OSError as error:
        raise FileError(f"{file}: {error.strerror}. Check the name of the file.") from None
    except UnicodeDecodeError:
        raise FileError(f"{file}: is not text. Save it as UTF-8.") from None


def _mapping(file: Path, text: str) -> dict[str, Any]:
    try:
        held = yaml.load(text, Loader=UniqueKeyLoader)  # noqa: S506 (a SafeLoader)
    except (yaml.YAMLError, ValueError, RecursionError) as error:
        raise FileError(f"{file}: is neither YAML nor JSON: {error}. Mend that line.") from None
    if not isinstance(held, dict):
        raise FileError(f"{file}: has no fields. Use these: {', '.join(FIELDS)}.")
    return held


def _place(place: Any) -> str | None:
    if place is None or place in overlays():
        return None if place is None else str(place)
    raise FileError(f"place: not known. Use one of {', '.join(overlays())}, or leave it out.")


def _own_rules(file: Path, name: Any) -> str | None:
    if name is None:
        return None
    if not isinstance(name, str):
        raise FileError("own_rules: not a name. Name the file with your rules, beside this one.")
    return read_text(file.parent / name)


def _told(problem: Problem) -> str:
    return f"{problem.field}: {problem.text} {problem.remedy}"
