"""Client-facing words are about sixth-grade English, by the Flesch-Kincaid grade.

Formula: Kincaid et al. 1975, Navy report 8-75 (from memory), as textstat works it out: 0.39 words
a sentence + 11.8 syllables a word - 15.59. The aim of grade 6 is a house rule; a plain-language
aim of grades 6 to 8 is common practice, no source.
"""

from collections.abc import Iterator

import pytest
import textstat  # type: ignore[import-untyped]  # has no types

from heelwright.rulebook import book_for

PLACES = (None, "us", "uk")
CONSENT_GRADE = 6.5
QUESTION_GRADE = 8.0


def grade(text: str) -> float:
    return float(textstat.flesch_kincaid_grade(text))


def texts(*heads: str, part: str | None = None) -> Iterator[tuple[str, str]]:
    for place in PLACES:
        content = book_for(place).content
        asked = {q.id for group in content.groups if group.part == part for q in group.questions}
        for key, text in content.words["en"].items():
            if key.startswith(heads) and (part is None or key.split(".")[1] in asked):
                yield key, text


def test_the_formula_is_the_published_one() -> None:
    # 8 words in 1 sentence, 9 syllables: 0.39 * 8 + 11.8 * 9 / 8 - 15.59 = 0.805 (computed)
    assert grade("The cat sat on the big red table.") == pytest.approx(0.805, abs=0.01)


@pytest.mark.parametrize(("key", "text"), sorted({*texts("consent.")}), ids=lambda part: part[:30])
def test_consent_is_plain(key: str, text: str) -> None:
    assert grade(text) <= CONSENT_GRADE
    assert max(len(line.split()) for line in text.replace("\n", " ").split(". ")) <= 25


@pytest.mark.parametrize(
    ("key", "text"), sorted({*texts("question.", part="health")}), ids=lambda part: part[:40]
)
def test_each_health_question_and_its_help_is_plain(key: str, text: str) -> None:
    assert grade(text) <= QUESTION_GRADE


@pytest.mark.parametrize(
    ("key", "text"),
    sorted(pair for pair in {*texts("aftercare.", "rule.")}
           if pair[0].startswith("aftercare.") or pair[0].endswith(".client")),
    ids=lambda part: part[:40],
)  # fmt: skip
def test_what_the_client_takes_home_is_plain(key: str, text: str) -> None:
    assert grade(text) <= QUESTION_GRADE


def test_all_health_questions_together_are_sixth_grade() -> None:
    whole = " ".join(text for _, text in sorted({*texts("question.", part="health")}))
    assert grade(whole) <= 6.0


@pytest.mark.parametrize(
    "topic",
    ["What we will do", "What we will not do", "not medical care", "What can go wrong",
     "You can say stop", "photos", "notes", "Who may sign"],
)  # fmt: skip
def test_consent_says_what_it_must(topic: str) -> None:
    # MCA 2005 and good practice in standards (from memory): who decided, own wish, withdrawal.
    for place in PLACES:
        assert topic in book_for(place).content.words["en"]["consent.foot_care"]
