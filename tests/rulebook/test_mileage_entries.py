"""Rates in a book: each fault is named, and what fits is kept. The rates here are invented."""

import shutil
from pathlib import Path

import pytest

from heelwright.rulebook import BookError, load_book
from tests.parity.vectors import BOOKS

SOURCED = "source: invented, basis: common_practice"
EARLY = (
    '{id: early, vehicles: [car, van], from: "2025-01-01", until: "2025-06-30",'
    f' counted_by: person, bands: [{{up_to: 100, rate: "0.50"}}, {{rate: "0.25"}}], {SOURCED}}}'
)
LATE = (
    '{id: late, vehicles: [car], from: "2025-07-01", counted_by: vehicle,'
    f' bands: [{{rate: "0.625"}}], {SOURCED}}}'
)
TAX = "tax: {year_starts: 01-01, unit: mile, currency: USD}"


@pytest.fixture
def books(tmp_path: Path) -> Path:
    copy = Path(shutil.copytree(BOOKS, tmp_path / "books"))
    here = copy / "overlays" / "here"
    here.mkdir(parents=True)
    (here / "mileage.yaml").write_text(f"mileage_rates:\n  - {EARLY}\n  - {LATE}\n")
    (here / "book.yaml").write_text(TAX)
    return copy


def test_a_place_has_rates_and_a_tax_year(books: Path) -> None:
    content = load_book(books, "here").content
    assert [rate.id for rate in content.mileage_rates] == ["early", "late"]
    assert content.tax is not None
    assert content.tax.unit == "mile"
    assert load_book(books).content.tax is None


@pytest.mark.parametrize(
    ("file", "old", "new", "entry", "says"),
    [
        ("mileage.yaml", 'until: "2025-06-30"', 'until: "2025-07-01"', "late", "before early ends"),
        ("mileage.yaml", ', until: "2025-06-30"', "", "late", "before early ends"),
        ("mileage.yaml", 'until: "2025-06-30"', 'until: "2024-06-30"', "early", "after until"),
        ("mileage.yaml", "up_to: 100, ", "", "early", "only the last band"),
        ("mileage.yaml", '{rate: "0.25"}', '{up_to: 100, rate: "0.25"}, {rate: "0.1"}', "early",
         "bands"),
        ("mileage.yaml", '{rate: "0.25"}', '{up_to: 90, rate: "0.25"}, {rate: "0.10"}', "early",
         "further on"),
        ("mileage.yaml", '"0.625"', "0.625", "late", "rate"),
        ("mileage.yaml", '"0.625"', '"62.5p"', "late", "rate"),
        ("mileage.yaml", '"2025-07-01"', '"2025-07-32"', "late", "day"),
        ("mileage.yaml", "vehicles: [car]", "vehicles: [sledge]", "late", "vehicles"),
        ("mileage.yaml", "id: late", "id: early", "early", "twice"),
        ("book.yaml", TAX, "title: Here", "early", "without tax"),
        ("book.yaml", "01-01", "13-01", "tax", "month"),
        ("book.yaml", "unit: mile", "unit: league", "tax", "unit"),
    ],
)  # fmt: skip
def test_a_fault_is_named(
    books: Path, file: str, old: str, new: str, entry: str, says: str
) -> None:
    path = books / "overlays" / "here" / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BookError) as caught:
        load_book(books, "here")
    assert (caught.value.entry, says in caught.value.text) == (entry, True), str(caught.value)
    assert caught.value.remedy


def test_a_note_needs_words(books: Path) -> None:
    notes = books / "overlays" / "here" / "mileage_notes.yaml"
    notes.write_text(f"mileage_notes: [{{id: ask_first, {SOURCED}}}]")
    with pytest.raises(BookError, match=r"mileage_note\.ask_first: has no words"):
        load_book(books, "here")
