"""Puts the tables of the run into docs/bench.md, between its two marks."""

import os
from collections.abc import Iterable, Sequence
from datetime import UTC, datetime

from tests.services.served import ROOT

PAGE = ROOT / "docs" / "bench.md"
BEGIN, END = "<!-- figures -->\n", "<!-- end of figures -->\n"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    lines = [head, ["---"] * len(head), *rows]
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def whole(tables: Iterable[str]) -> str:
    day = datetime.now(UTC).date().isoformat()
    return "\n".join([f"Measured {day}, {os.cpu_count()} processors.\n", *tables])


def write(text: str) -> None:
    page = PAGE.read_text()
    before, after = page.split(BEGIN)[0], page.split(END)[1]
    PAGE.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}")
