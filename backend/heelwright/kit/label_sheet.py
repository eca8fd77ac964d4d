"""A sheet of labels: what stands on each, its QR code (ISO/IEC 18004), and the paper it goes on."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any, NamedTuple

import segno


class Label(NamedTuple):
    code: str
    name: str
    second: str


# A4 as 3 by 8 labels of 70 by 37 mm, and letter as 3 by 10 of 2 5/8 by 1 inch: common label stock,
# from memory. `inset` keeps clear of the edge that many printers leave white.
A4 = {
    "paper": "a4",
    "columns": 3,
    "rows": 8,
    "width": 70,
    "height": 37,
    "gap": 0,
    "left": 0,
    "top": 0.5,
    "code": 26,
    "inset": 5,
}
LETTER = {
    "paper": "us-letter",
    "columns": 3,
    "rows": 10,
    "width": 66.675,
    "height": 25.4,
    "gap": 3.175,
    "left": 4.7625,
    "top": 12.7,
    "code": 22,
    "inset": 1.5,
}


def sheet(labels: Iterable[Label], place: str, written_at: datetime) -> dict[str, Any]:
    """What the template needs; `place` is the practice's."""
    return {
        "written_at": written_at.isoformat(),
        "stock": LETTER if place == "us" else A4,
        "labels": [{**label._asdict(), "picture": picture(label.code)} for label in labels],
    }


def picture(code: str) -> str:
    """As SVG. A code of 8 symbols and a hyphen fits the smallest QR code at its highest level of
    correction, which reads through scratches and damp; the light border of four modules that the
    standard asks for is in it."""
    rows = [*segno.make(code, version=1, error="h").matrix_iter(border=4)]
    dark = "".join(
        f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, module in enumerate(row) if module
    )
    size = len(rows)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}">'
        f'<rect width="{size}" height="{size}" fill="#fff"/><path d="{dark}"/></svg>'
    )
