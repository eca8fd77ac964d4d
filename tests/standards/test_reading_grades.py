"""The reading grade of every text that a client sees, in both languages; printed with `-s`.

Formulas and their sources: reading.py. The aim of about the sixth grade is a house rule; a health
question with its help may be of the eighth, common practice, no source.
"""

import pytest

from tests.standards.reading import Graded, graded, spanish_grade
from tests.standards.test_consent_reading_level import CONSENT_GRADE, QUESTION_GRADE


def test_the_spanish_formula_is_the_published_one() -> None:
    # 8 words in 1 sentence, 12 syllables: -0.205 * 12.5 + 0.049 * 150 - 3.407 = 1.3805 (computed)
    assert spanish_grade("El gato come pan en la mesa roja.") == pytest.approx(1.3805, abs=0.001)


def test_every_text_is_plain_enough() -> None:
    found = graded()
    for one in found:
        print(f"{one.grade:5.1f}  {one.language}  {one.key}")
    assert len(found) > 200
    assert [one for one in found if one.grade > most(one)] == []


def most(one: Graded) -> float:
    return QUESTION_GRADE if one.key.startswith("question.") else CONSENT_GRADE


@pytest.mark.parametrize("language", ["en", "es"])
def test_each_language_has_the_texts_to_sign_and_the_words_around_them(language: str) -> None:
    keys = {one.key.split(".")[0] for one in graded() if one.language == language}
    assert keys >= {"consent", "signing", "own-phone"}
