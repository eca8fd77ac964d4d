"""One line of a file as a resident, or what is wrong with it. No Django.

Says all that is wrong at once, by code and field, and never quotes what stands there.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from heelwright.people.residents.dates import NoDate, Order, read_date
from heelwright.people.residents.table import Line, Table
from heelwright.people.rules import EARLIEST_BIRTH, name_keys

# As the arguments of `register_client` have them.
LONGEST = {
    "name": 120,
    "room": 200,
    "corridor": 120,
    "phone": 200,
    "email": 254,
    "contact_name": 200,
    "contact_role": 200,
    "contact_phone": 200,
}
EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")
PHONE = re.compile(r"[0-9+()./ \-x#a-z]*", re.IGNORECASE)
YES, NO = frozenset("yes y true x 1".split()), frozenset("no n false 0".split())


@dataclass(frozen=True)
class Problem:
    code: str
    field: str | None = None


@dataclass(frozen=True)
class Resident:
    """`card` holds the fields that the line says something of."""

    line: int
    card: Mapping[str, Any]


@dataclass
class Read:
    """What the lines say, in the order of the file."""

    residents: list[Resident] = field(default_factory=list)
    problems: list[tuple[int, Problem]] = field(default_factory=list)


def read_lines(table: Table, fields: Sequence[str | None], order: Order, today: date) -> Read:
    read = Read()
    for line in table.lines:
        found, card = _problems(line, fields, order, today)
        read.problems += [(line.number, problem) for problem in found]
        if not found:
            read.residents.append(Resident(line.number, card))
    return _each_once(read)


def _problems(
    line: Line, fields: Sequence[str | None], order: Order, today: date
) -> tuple[list[Problem], dict[str, Any]]:
    if line.cells is None:
        return [Problem(line.fault)], {}
    cells = [" ".join(cell.split()) for cell in line.cells]
    while len(cells) > len(fields) and not cells[-1]:
        cells.pop()
    if len(cells) != len(fields):
        return [Problem("cells_too_many" if len(cells) > len(fields) else "cells_too_few")], {}
    said = {name: cell for name, cell in zip(fields, cells, strict=True) if name is not None}
    said = {name: cell for name, cell in said.items() if cell} | _whole_name(said)
    found = list(_wrong(said))
    card: dict[str, Any] = dict(said)
    born = _born(said.get("born", ""), order, today)
    if isinstance(born, Problem):
        found.append(born)
    else:
        card["born"] = born.isoformat()
    if "see_last" in said:
        card["see_last"] = said["see_last"].casefold() in YES
    return found, card


def _whole_name(said: dict[str, str]) -> dict[str, str]:
    if "given" not in said and "family" not in said:
        return {}
    given, family = said.pop("given", ""), said.pop("family", "")
    return {"name": f"{given} {family}".strip()} if given and family else {"name": ""}


def _wrong(said: Mapping[str, str]) -> list[Problem]:
    codes = {name: code for name, text in said.items() if (code := _unfit(name, text))}
    found = [Problem(code, name) for name, code in codes.items()]
    if not said.get("name"):
        found.append(Problem("missing_field", "name"))
    elif "name" not in codes and not any(letter.isalpha() for letter in said["name"]):
        found.append(Problem("no_name", "name"))
    for name, shape, code in (
        ("email", EMAIL, "email_odd"),
        ("phone", PHONE, "phone_odd"),
        ("contact_phone", PHONE, "phone_odd"),
    ):
        if name in said and name not in codes and not shape.fullmatch(said[name]):
            found.append(Problem(code, name))
    if "see_last" in said and said["see_last"].casefold() not in YES | NO:
        found.append(Problem("not_yes_or_no", "see_last"))
    return found


def _unfit(name: str, text: str) -> str:
    if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in text):
        return "odd_character"
    if "\N{REPLACEMENT CHARACTER}" in text:
        return "character_lost"
    if len(text) > LONGEST.get(name, 200):
        return "too_long"
    # What a spreadsheet leaves of a sum that went wrong, such as #REF! or #N/A.
    formula = text.startswith("=") or (text.startswith("#") and text[1:2].isupper())
    return "a_formula" if formula else ""


def _born(text: str, order: Order, today: date) -> date | Problem:
    if not text:
        return Problem("missing_field", "born")
    try:
        born = read_date(text, order)
    except NoDate as no:
        return Problem(str(no), "born")
    if born > today:
        return Problem("date_too_late", "born")
    return Problem("date_too_early", "born") if born < EARLIEST_BIRTH else born


def _each_once(read: Read) -> Read:
    """One person on two lines: neither counts, since nobody can say which of them is right."""
    from_key: dict[tuple[str, str], list[int]] = {}
    for one in read.residents:
        for key in name_keys(one.card["name"]):
            from_key.setdefault((key, one.card["born"]), []).append(one.line)
    twice = {line for lines in from_key.values() if len(lines) > 1 for line in lines}
    read.residents = [one for one in read.residents if one.line not in twice]
    read.problems += [(line, Problem("there_twice", "name")) for line in sorted(twice)]
    return read
