"""Makes a table of a log's columns and rows (RFC 4180)."""

import csv
import io
import re
from collections.abc import Mapping
from typing import Any

# What a spreadsheet would take for a formula, and run, the signs of full width included; a plain
# number it would not.
FORMULA = re.compile(r"(?![+-]?\d+(\.\d+)?$)[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")


def table(data: Mapping[str, Any]) -> bytes:
    """UTF-8 with the mark by which spreadsheets know it."""
    written = io.StringIO()
    writer = csv.writer(written)
    writer.writerow(data["columns"])
    writer.writerows([_text(cell) for cell in row] for row in data["rows"])
    return written.getvalue().encode("utf-8-sig")


def _text(cell: str) -> str:
    return f"'{cell}" if FORMULA.match(cell) else cell
