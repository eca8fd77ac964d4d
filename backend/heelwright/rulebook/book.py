"""A loaded rulebook: its content, its version, and judging by it.

Answers for finding a book, for its content hash, and for refusing answers that cannot be
judged.
"""

import hashlib
import json
from collections.abc import Collection, Mapping, Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from heelwright.rulebook import answers as answer_checks
from heelwright.rulebook.checks import check_content, questions_of
from heelwright.rulebook.compiled import compile_content
from heelwright.rulebook.consent_texts import purpose_of, signable
from heelwright.rulebook.errors import BookError, InvalidAnswers, Problem
from heelwright.rulebook.expansion import expanded
from heelwright.rulebook.files import Read, checked, read_shipped, with_own
from heelwright.rulebook.joining import join
from heelwright.rulebook.judge import Judgement, judge
from heelwright.rulebook.schema import Content

BOOKS = Path(__file__).parent / "books"

Answers = Mapping[str, Any]
Findings = Sequence[Mapping[str, Any]]


class Book:
    """Frozen: an attribute set after loading would not be in the version."""

    def __init__(self, content: Content, origin: Mapping[str, str]) -> None:
        check_content(content, origin)
        self.content = expanded(content)
        self.version = _hash(self.content)
        self._compiled = compile_content(self.content, origin)
        self._from_place = [
            rule.id
            for rule in self.content.rules
            if origin.get(f"rules.{rule.id}", "").startswith("overlays/")
        ]
        self._questions = {question.id: question for question in questions_of(content)}

    def as_json(self) -> dict[str, Any]:
        """Everything that the phone needs to judge and to speak, words included, and which rules
        the place has added."""
        return {"version": self.version, "from_place": self._from_place} | _plain(self.content)

    @property
    def question_ids(self) -> frozenset[str]:
        return frozenset(self._questions)

    @property
    def consent_texts(self) -> frozenset[tuple[str, str]]:
        """Each text that may be signed, by language: its id and the SHA-256 of its words."""
        return signable(self.content)

    def purpose_of(self, text_id: str) -> str | None:
        """What a consent text is for; None where it is not in the book."""
        return purpose_of(self.content, text_id)

    def validate(self, answers: Answers, findings: Findings, age: int | None) -> list[Problem]:
        return [
            *answer_checks.check_answers(self._questions, answers),
            *answer_checks.check_findings(findings),
            *answer_checks.check_age(age),
        ]

    def judge(self, answers: Answers, findings: Findings, age: int | None) -> Judgement:
        problems = self.validate(answers, findings, age)
        if problems:
            raise InvalidAnswers(problems)
        return judge(self._compiled, answers, findings, age)

    def join(self, several: Sequence[Judgement], asked_before: Collection[str] = ()) -> Judgement:
        """What binds where several judgements of one client stand together, at least one, and
        earlier records asked for a clearance by the rules `asked_before`."""
        return join(self._compiled, several, asked_before)


def load_book(books: Path, overlay: str | None = None) -> Book:
    return Book(*checked(read_shipped(books, overlay)))


def book_for(overlay: str | None = None, own: str | None = None) -> Book:
    """The shipped book, with the overlay of a place ("us", "uk" or none) and a practice's own.

    `own` is the text that the practice's owner wrote, or nothing; BookError if it may not be
    used. The same texts give the same book.
    """
    return _book_for(overlay, own if own and own.strip() else None)


@lru_cache(maxsize=256)
def _book_for(overlay: str | None, own: str | None) -> Book:
    if overlay is not None and overlay not in overlays():
        raise BookError(
            "overlays", overlay, "there is no such overlay", f"Choose one of {overlays()}."
        )
    return Book(*checked(with_own(_shipped(overlay), own)))


@cache
def _shipped(overlay: str | None) -> Read:
    return read_shipped(BOOKS, overlay)


def overlays() -> list[str]:
    return sorted(folder.name for folder in (BOOKS / "overlays").glob("*") if folder.is_dir())


def _plain(content: Content) -> dict[str, Any]:
    return content.model_dump(mode="json", by_alias=True)


def _hash(content: Content) -> str:
    canonical = json.dumps(
        _plain(content), ensure_ascii=False, sort_keys=True, separators=(",", ":")
    )
    return hashlib.sha256(canonical.encode()).hexdigest()
