"""docs/rulebook-sources.md is what the books say, and no rule claims more ground than it has."""

from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest

from heelwright.rulebook import book_for, overlays
from heelwright.rulebook.entry import Sourced
from heelwright.rulebook.schema import Content
from heelwright.rulebook.sources import shipped_sources_page

PAGE = Path(__file__).parents[2] / "docs" / "rulebook-sources.md"
PLACES = (None, *overlays())


def kit(content: Content) -> Iterator[Sourced]:
    yield from (*content.processes, *content.instruments, *content.supplies)
    yield from (*content.machine_checks, *content.checklist_items)


def miles(content: Content) -> Iterator[Sourced]:
    yield from (*content.mileage_rates, *content.mileage_notes)


def house_calls(content: Content) -> Iterator[Sourced]:
    yield from content.house_call_notes


def test_the_page_is_fresh() -> None:
    assert PAGE.read_text(encoding="utf-8") == shipped_sources_page()


@pytest.mark.parametrize("place", PLACES)
def test_common_practice_says_that_it_has_no_source(place: str | None) -> None:
    content = book_for(place).content
    for entry in (*content.rules, *content.bits, *content.intervals, *content.stop_signs,
                  *content.mishaps, *kit(content), *miles(content),
                  *house_calls(content)):  # fmt: skip
        if entry.basis == "common_practice":
            says = ("no source", "House rule", "good practice")
            assert any(words in entry.source for words in says), entry.source


@pytest.mark.parametrize("place", PLACES)
def test_what_is_called_published_names_a_text(place: str | None) -> None:
    texts = ("IWGDF", "NICE", "ADA", "Tex", "Cal", "Diabetes Care", "Dall'Oglio", "Lacarrubba",
             "Mental Capacity Act", "CDC", "EPA", "Podiatry Review", "IRS", "Treas. Reg.",
             "HMRC", "ITTOIA", "Department of Finance", "CRA", "ATO", "ITAA")  # fmt: skip
    content = book_for(place).content
    for entry in (
        *content.rules,
        *content.limits,
        *content.aftercare,
        *kit(content),
        *miles(content),
        *house_calls(content),
    ):
        if entry.basis.startswith("published"):
            assert any(text in entry.source for text in texts), entry.source


@pytest.mark.parametrize("place", PLACES)
def test_what_is_from_memory_says_so(place: str | None) -> None:
    for entry in chain(*(of(book_for(place).content) for of in (kit, miles, house_calls))):
        if entry.basis == "from_memory":
            assert "from memory" in entry.source, entry.source
