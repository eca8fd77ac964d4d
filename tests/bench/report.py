"""Lays the figures out as the tables of docs/bench.md, and puts them there."""

import os
from collections.abc import Mapping
from datetime import UTC, datetime

from tests.bench.phone_start import SLOWED_DOWN, TRIES, Scripts, Start
from tests.bench.pulls import Pull
from tests.services.served import ROOT

PAGE = ROOT / "docs" / "bench.md"
BEGIN, END = "<!-- figures -->\n", "<!-- end of figures -->\n"


def tables(
    counted: Mapping[int, tuple[Pull, Pull]], scripts: Scripts, starts: Mapping[int, Start]
) -> str:
    day = datetime.now(UTC).date().isoformat()
    loaded = f"and until today's list shows ({scripts.files} files)"
    start = f"cold start offline, median of {TRIES}, processor slowed down {SLOWED_DOWN} times"
    return "\n".join(
        [
            f"Measured {day}, {os.cpu_count()} processors, SQLite.\n",
            "| pull | rows | pages | queries | of them sign-in | bytes |",
            "|---|---|---|---|---|---|",
            *(_pull("first", first) for first, _ in counted.values()),
            _pull("idle", list(counted.values())[-1][1]),
            "",
            "| scripts of a first load, gzip | kB |",
            "|---|---|",
            f"| until the sign-in shows | {scripts.to_sign_in / 1000:.1f} |",
            f"| {loaded} | {scripts.to_today / 1000:.1f} |",
            "",
            f"| {start} | seconds |",
            "|---|---|",
            *_starts(starts),
            "",
        ]
    )


def _pull(name: str, pull: Pull) -> str:
    sign_in = pull.queries - pull.beyond_sign_in
    return f"| {name} | {pull.rows} | {pull.pages} | {pull.queries} | {sign_in} | {pull.size:,} |"


def _starts(starts: Mapping[int, Start]) -> list[str]:
    few, many = starts.values()
    whole = [start.to_the_lock + start.to_the_list for start in (few, many)]
    lines = []
    for start, total in zip((few, many), whole, strict=True):
        lines += [
            f"| {start.records} records: to the passphrase's field | {start.to_the_lock:.2f} |",
            f"| {start.records} records: from Unlock to today's list | {start.to_the_list:.2f} |",
            f"| {start.records} records: both | {total:.2f} |",
            f"| {start.records} records, bare read and opening | {start.bare_read:.2f} |",
        ]
    more = (whole[1] - whole[0]) / many.bare_read
    return [
        *lines,
        f"| many records beside few | {whole[1] / whole[0]:.2f} times |",
        f"| what many records add, beside their bare read | {more:.2f} times |",
    ]


def write(text: str) -> None:
    page = PAGE.read_text()
    before, after = page.split(BEGIN)[0], page.split(END)[1]
    PAGE.write_text(f"{before}{BEGIN}\n{text}\n{END}{after}")
