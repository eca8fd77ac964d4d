"""A file of residents beside those who are there: what it would change, and what is wrong with it.

Pure: who is there comes in, and nothing is written.
"""

from collections.abc import Sequence
from datetime import date
from uuid import UUID

from pydantic import BaseModel

from heelwright.people.residents.columns import fields_of
from heelwright.people.residents.comparing import Match, There, compare
from heelwright.people.residents.dates import Order, order_in
from heelwright.people.residents.lines import Problem, read_lines
from heelwright.people.residents.table import Table, read
from heelwright.people.residents.words import PROBLEMS


class ProblemOut(BaseModel):
    """One thing that is wrong, on however many lines."""

    code: str
    field: str | None
    text: str
    remedy: str
    lines: list[int]


class NewOut(BaseModel):
    line: int
    card: dict[str, str | bool]


class MatchOut(BaseModel):
    """`away`: by the card, this resident gets no visits at present."""

    line: int
    client: UUID
    card: dict[str, str | bool]
    changes: dict[str, str | bool]
    away: bool


class Report(BaseModel):
    """`passed_over` are the columns, from 1, whose heading is not known. `dates` is how 03/04/1941
    was read, and `dates_told` whether the file itself tells that."""

    encoding: str
    delimiter: str
    lines: int
    passed_over: list[int]
    dates: Order
    dates_told: bool
    problems: list[ProblemOut]
    bad_lines: int
    new: list[NewOut]
    changed: list[MatchOut]
    same: list[MatchOut]
    unsure: list[MatchOut]
    missing: list[UUID]


def report(content: bytes, there: Sequence[There], today: date, otherwise: Order) -> Report:
    """Raises Refused, which names the file, where it is no list of residents."""
    table = read(content)
    fields = fields_of(table.header)
    dates, told = order_in(_births(table, fields.index("born")), otherwise)
    lines = read_lines(table, fields, dates, today)
    found = compare(lines.residents, there)
    return Report(
        encoding=table.encoding,
        delimiter=table.delimiter,
        lines=len(table.lines),
        passed_over=[at for at, field in enumerate(fields, 1) if field is None],
        dates=dates,
        dates_told=told,
        problems=_grouped(lines.problems),
        bad_lines=len({line for line, _ in lines.problems}),
        new=[NewOut(line=one.line, card=dict(one.card)) for one in found.new],
        changed=[_out(match) for match in found.changed],
        same=[_out(match) for match in found.same],
        unsure=[_out(match) for match in found.unsure],
        missing=found.missing,
    )


def _births(table: Table, column: int) -> list[str]:
    return [line.cells[column] for line in table.lines if line.cells and len(line.cells) > column]


def _grouped(problems: Sequence[tuple[int, Problem]]) -> list[ProblemOut]:
    """What is wrong on most lines first."""
    lines: dict[Problem, list[int]] = {}
    for line, problem in sorted(problems, key=lambda each: each[0]):
        lines.setdefault(problem, []).append(line)
    by_number = sorted(lines.items(), key=lambda each: (-len(each[1]), each[1][0]))
    return [
        ProblemOut(
            code=problem.code,
            field=problem.field,
            text=PROBLEMS[problem.code][0],
            remedy=PROBLEMS[problem.code][1],
            lines=on,
        )
        for problem, on in by_number
    ]


def _out(match: Match) -> MatchOut:
    return MatchOut(
        line=match.resident.line,
        client=match.client,
        card=dict(match.resident.card),
        changes=dict(match.changes),
        away=match.away,
    )


# How a place writes its dates, where the list does not tell. From memory.
ORDER_OF_PLACE: dict[str, Order] = {"us": "month_first"}
