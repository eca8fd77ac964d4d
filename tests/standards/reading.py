"""The reading grade of each text for clients; `python -m tests.standards.reading` lists them.

English: Flesch-Kincaid, see test_consent_reading_level. Spanish: Crawford 1989, made for the years
of primary school (from memory), as textstat works it out: -0.205 sentences per 100 words + 0.049
syllables per 100 words - 3.407.
"""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

import textstat  # type: ignore[import-untyped]  # has no types

from heelwright.rulebook import book_for
from tests.standards.test_consent_reading_level import grade, texts
from tests.standards.test_signing_words import FILES, messages


class Graded(NamedTuple):
    language: str
    key: str
    grade: float


def spanish_grade(text: str) -> float:
    textstat.set_lang("es")
    try:
        return float(textstat.crawford(text))
    finally:
        textstat.set_lang("en_US")


@cache
def graded() -> list[Graded]:
    """Sentences only: of a word or two on a button the formulas tell nothing."""
    english = [Graded("en", key, grade(text)) for key, text in _english() if _is_sentence(text)]
    spanish = [
        Graded("es", key, spanish_grade(text)) for key, text in _spanish() if _is_sentence(text)
    ]
    return sorted({*english, *spanish})


def _is_sentence(text: str) -> bool:
    return len(text.split()) > 4


def _english() -> Iterator[tuple[str, str]]:
    yield from texts("consent.", "consent_title.", "aftercare.")
    yield from texts("question.", part="health")
    yield from (pair for pair in texts("rule.") if pair[0].endswith(".client"))
    yield from _around("en")


def _spanish() -> Iterator[tuple[str, str]]:
    yield from book_for(None).content.words["es"].items()
    yield from _around("es")


def _around(language: str) -> Iterator[tuple[str, str]]:
    for name in FILES:
        for key, text in messages(name, language).items():
            yield f"{name}:{key}", text


def summary() -> str:
    all_of = graded()
    hardest = max(all_of, key=lambda one: one.grade)
    return (
        f"reading grade of {len(all_of)} client-facing texts: at most {hardest.grade:.1f} "
        f"({hardest.language} {hardest.key})"
    )


if __name__ == "__main__":
    for one in graded():
        print(f"{one.grade:5.1f}  {one.language}  {one.key}")
    print(summary())
