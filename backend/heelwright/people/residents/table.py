"""A file of comma-separated values as lines of cells (RFC 4180, and what spreadsheets make of it).

No Django. Says of each line that is no line of cells what is wrong with it, and reads on after it.
"""

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass

from heelwright.declarations import Refused

MOST_BYTES = 8 * 1024 * 1024
MOST_LINES = 20_000
DELIMITERS = ",;\t|"
# An address may hold line breaks; a quote that stays open longer was never closed.
MOST_BREAKS = 6


@dataclass(frozen=True)
class Line:
    """`number` is that of its first line in the file, from 1. `cells` is None where it can't be
    read, for the reason `fault`."""

    number: int
    cells: list[str] | None
    fault: str = ""


@dataclass(frozen=True)
class Table:
    """`encoding` is utf-8, utf-16 or windows-1252; that one is a guess."""

    encoding: str
    delimiter: str
    header: list[str]
    lines: list[Line]


def read(content: bytes) -> Table:
    """The table in a file; raises Refused where there is none."""
    text, encoding = _text(content)
    physical = re.split("\r\n|\r|\n", text)
    first = next((at for at, line in enumerate(physical) if line.strip()), None)
    if first is None:
        raise _no_table("file_empty", "The file is empty.", "Save the list again as CSV.")
    delimiter = max(DELIMITERS, key=_outside_quotes(physical[first]).count)
    lines = [one for one in _lines(physical, first, delimiter) if not _is_blank(one)]
    if len(lines) > MOST_LINES + 1:
        raise _no_table("too_many_lines", "The file has too many lines.", "Split it in two.")
    header = lines[0].cells
    if header is None:
        raise _no_table(
            "no_header",
            "The first line can't be read.",
            "Its cells must be the names of the columns, such as Name, Date of birth, Room.",
        )
    return Table(encoding, delimiter, header, lines[1:])


def _no_table(code: str, text: str, remedy: str) -> Refused:
    return Refused(code, text, remedy, field="file")


def _text(content: bytes) -> tuple[str, str]:
    if len(content) > MOST_BYTES:
        raise _no_table("file_too_large", "The file is too large.", "Save only the list as CSV.")
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise _no_table(
            "a_workbook",
            "This is a workbook of a spreadsheet.",
            "Open it there and save the sheet as CSV.",
        )
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif b"\x00" in content:
        encodings = []
    else:
        encodings = ["utf-8-sig", "windows-1252"]
    for encoding in encodings:
        try:
            return content.decode(encoding), encoding.removesuffix("-sig")
        except UnicodeDecodeError:
            continue
    raise _no_table("not_text", "This file is not text.", "Save the list as CSV, in UTF-8.")


def _lines(physical: list[str], first: int, delimiter: str) -> Iterator[Line]:
    at = first
    while at < len(physical):
        end = _end_of(physical, at)
        if end is None:
            yield Line(at + 1, None, "quote_open")
            at += 1
            continue
        try:
            record = "\n".join(physical[at:end])
            yield Line(at + 1, next(csv.reader([record], delimiter=delimiter, strict=True), []))
        except csv.Error:
            yield Line(at + 1, None, "quote_odd")
        at = end


def _end_of(physical: list[str], at: int) -> int | None:
    """After which line a record ends: quotes come in pairs."""
    quotes = 0
    for end in range(at, min(at + MOST_BREAKS, len(physical))):
        quotes += physical[end].count('"')
        if quotes % 2 == 0:
            return end + 1
    return None


def _outside_quotes(line: str) -> str:
    return "".join(line.split('"')[::2])


def _is_blank(line: Line) -> bool:
    return line.cells is not None and not any(cell.strip() for cell in line.cells)
