"""The sheet of labels as paper: printed, looked at as a camera would, and read again. Check: what
zxing-cpp, another library than the one that draws, reads; the stock's measures are from memory."""

import io
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from random import Random
from typing import Any

import pytest
import typst
import zxingcpp
from PIL import Image, ImageDraw
from pypdf import PdfReader

from heelwright.commandlog import registry
from heelwright.documents.printing import pdf
from heelwright.kit.label_sheet import Label, sheet
from heelwright.kit.labels import draw_label

PAPER = registry.documents()["label_sheet"]
WHEN = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
MM_PER_INCH = 25.4
PPI = 150
A4, LETTER = (210, 297), (8.5 * MM_PER_INCH, 11 * MM_PER_INCH)


def labels(count: int) -> list[Label]:
    random = Random(7)
    names = ["Set 1", "Nippers, " * 12, "Autoclave #1 *_<b>", "W" * 120]
    return [
        Label(draw_label(random.randbytes), names[place % len(names)], "Invented Feet")
        for place in range(count)
    ]


def pages(place: str, on_it: list[Label]) -> Iterator[Image.Image]:
    made: Any = typst.compile(
        PAPER.template.read_bytes(),
        format="png",
        ppi=PPI,
        ignore_system_fonts=True,
        sys_inputs={"data": json.dumps(sheet(on_it, place, WHEN))},
    )
    for page in made if isinstance(made, list) else [made]:
        yield Image.open(io.BytesIO(page))


def centre(found: zxingcpp.Barcode) -> tuple[float, float]:
    """In millimetres from the upper left corner of the paper."""
    corners = (found.position.top_left, found.position.bottom_right)
    return (
        sum(corner.x for corner in corners) / 2 / PPI * MM_PER_INCH,
        sum(corner.y for corner in corners) / 2 / PPI * MM_PER_INCH,
    )


@pytest.mark.parametrize(
    ("place", "size", "rows", "first", "step", "middle"),
    [
        ("", A4, 8, (0, 0.5), (70, 37), 18),
        ("uk", A4, 8, (0, 0.5), (70, 37), 18),
        ("us", LETTER, 10, (4.76, 12.7), (69.85, 25.4), 12.5),
    ],
)
def test_every_code_is_read_where_its_label_is(
    place: str,
    size: tuple[float, float],
    rows: int,
    first: tuple[float, float],
    step: tuple[float, float],
    middle: float,
) -> None:
    """One label more than a page takes, so that the next page is shown as well."""
    on_it = labels(3 * rows + 1)
    seen = 0
    for page in pages(place, on_it):
        millimetres = [pixels / PPI * MM_PER_INCH for pixels in page.size]
        assert millimetres == pytest.approx(size, abs=0.5)
        found = {code.text: centre(code) for code in zxingcpp.read_barcodes(page)}
        for label in on_it[seen * 3 * rows :][: 3 * rows]:
            x, y = found.pop(label.code)
            at = on_it.index(label) % (3 * rows)
            left, top = first[0] + at % 3 * step[0], first[1] + at // 3 * step[1]
            assert x == pytest.approx(left + middle, abs=1)
            assert y == pytest.approx(top + step[1] / 2, abs=1)
        assert found == {}
        seen += 1
    assert seen == 2


def test_a_code_reads_through_a_hole() -> None:
    """ISO/IEC 18004, from memory: version 1 has 21 modules and a light border of 4; level H
    restores up to 8 of its 26 words of 8 modules."""
    [page] = pages("", [Label("0000-16JD", "", "")])
    [code] = zxingcpp.read_barcodes(page)
    assert (code.format, code.ec_level) == (zxingcpp.BarcodeFormat.QRCode, "H")
    corner, opposite = code.position.top_left, code.position.bottom_right
    module = (opposite.x - corner.x) / 21
    assert module * MM_PER_INCH / PPI == pytest.approx(26 / 29, abs=0.05)
    hole = [corner.x + 12 * module, corner.y + 10 * module]
    ImageDraw.Draw(page).rectangle([*hole, *(edge + 5 * module for edge in hole)], fill="white")
    assert [code.text for code in zxingcpp.read_barcodes(page)] == ["0000-16JD"]


def test_it_is_kept_by_the_standards_and_has_its_words() -> None:
    """ISO 19005-2 A and ISO 14289-1, as typst checks them; words typed are text, not markup."""
    content = pdf(PAPER, sheet(labels(4), "", WHEN))
    assert b"<pdfaid:part>2</pdfaid:part>" in content and b"pdfuaid" in content
    made = PdfReader(io.BytesIO(content))
    words = " ".join(made.pages[0].extract_text().split())
    for label in labels(4):
        assert label.code in words
    assert "Autoclave #1 *_<b>" in words and "Invented Feet" in words
    assert len(made.pages) == 1
