"""docs/rulebook-sources.md is what the books say, and no rule claims more ground than it has."""

from pathlib import Path

import pytest

from heelwright.rulebook import book_for
from heelwright.rulebook.sources import shipped_sources_page

PAGE = Path(__file__).parents[2] / "docs" / "rulebook-sources.md"
PLACES = (None, "us", "uk")


def test_the_page_is_fresh() -> None:
    assert PAGE.read_text(encoding="utf-8") == shipped_sources_page()


@pytest.mark.parametrize("place", PLACES)
def test_common_practice_says_that_it_has_no_source(place: str | None) -> None:
    content = book_for(place).content
    for entry in (*content.rules, *content.bits, *content.intervals, *content.stop_signs,
                  *content.mishaps):  # fmt: skip
        if entry.basis == "common_practice":
            says = ("no source", "House rule", "good practice")
            assert any(words in entry.source for words in says), entry.source


@pytest.mark.parametrize("place", PLACES)
def test_what_is_called_published_names_a_text(place: str | None) -> None:
    texts = ("IWGDF", "NICE", "ADA", "Tex", "Cal", "Diabetes Care", "Dall'Oglio", "Lacarrubba",
             "Mental Capacity Act")  # fmt: skip
    content = book_for(place).content
    for entry in (*content.rules, *content.limits, *content.aftercare):
        if entry.basis.startswith("published"):
            assert any(text in entry.source for text in texts), entry.source
