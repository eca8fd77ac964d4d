"""What whoever signs reads around the texts is about sixth-grade English, as the texts themselves.

Formula, aim and their sources: test_consent_reading_level.
"""

import re
from collections.abc import Iterator

import pytest

from tests.services.served import ROOT
from tests.standards.test_consent_reading_level import CONSENT_GRADE, QUESTION_GRADE, grade

WORDS = ROOT / "pwa" / "src" / "words"
FILES = ("signing.ts", "own-phone.ts")


def messages(name: str, language: str) -> dict[str, str]:
    """The words of one language in one of the files, by key."""
    catalogue = re.search(
        rf"^const {language}\b[^{{]*{{\n(.*?)^}};",
        (WORDS / name).read_text(),
        re.MULTILINE | re.DOTALL,
    )
    assert catalogue, (name, language)
    return dict(re.findall(r'^  (\w+):\s+"([^"]+)",$', catalogue[1], re.MULTILINE))


def english() -> Iterator[tuple[str, str]]:
    for name in FILES:
        yield from messages(name, "en").items()


@pytest.mark.parametrize("name", FILES)
def test_each_word_is_there_in_each_language(name: str) -> None:
    said = {language: messages(name, language) for language in ("en", "es")}
    assert len(said["en"]) > 15
    assert said["en"].keys() == said["es"].keys()


@pytest.mark.parametrize(("key", "text"), [*english()], ids=lambda part: part[:30])
def test_each_sentence_is_plain(key: str, text: str) -> None:
    # The formula is made for sentences: of a word or two on a button it tells nothing.
    if len(text.split()) > 4:
        assert grade(text) <= QUESTION_GRADE
    assert max(len(sentence.split()) for sentence in re.split(r"[.?!:]", text)) <= 25


def test_all_of_it_together_is_sixth_grade() -> None:
    whole = " ".join(text if text[-1] in ".?" else f"{text}." for _, text in english())
    assert grade(whole) <= CONSENT_GRADE
