"""A file of residents: how it is read, and what of it is told line by line. Checks: our own rules,
and for the form of the file RFC 4180."""

import csv
import io
import random
from collections.abc import Callable, Sequence
from datetime import date
from uuid import uuid4

import pytest

from heelwright.declarations import Refused
from heelwright.people.residents.comparing import There
from heelwright.people.residents.report import Report, report

TODAY = date(2026, 11, 28)
HEADER = ["Name", "Date of birth", "Room", "Corridor", "Phone", "E-mail", "Contact",
          "Relationship", "Contact phone", "See last"]  # fmt: skip
FIELDS = ["name", "born", "room", "corridor", "phone", "email", "contact_name", "contact_role",
          "contact_phone", "see_last"]  # fmt: skip
GOOD = ["Ana Invented", "1941-03-31", "12", "North", "555 0100", "ana@home.example", "Bo Invented",
        "son", "555 0101", "no"]  # fmt: skip


def text_of(*rows: Sequence[str], delimiter: str = ",") -> str:
    written = io.StringIO()
    csv.writer(written, delimiter=delimiter).writerows(rows)
    return written.getvalue()


def read(text: str | bytes, there: Sequence[There] = ()) -> Report:
    content = text if isinstance(text, bytes) else text.encode()
    return report(content, there, TODAY, "day_first")


def told(found: Report) -> set[tuple[str, str | None, int]]:
    return {(one.code, one.field, line) for one in found.problems for line in one.lines}


@pytest.mark.parametrize("delimiter", list(",;\t|"))
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "windows-1252"])
@pytest.mark.parametrize("newline", ["\r\n", "\n", "\r"])
def test_files_as_programs_write_them(delimiter: str, encoding: str, newline: str) -> None:
    rows = (HEADER, ["Zoë Ünvented", *GOOD[1:]])
    content = text_of(*rows, delimiter=delimiter).replace("\r\n", newline).encode(encoding)
    found = read(content)
    assert [one.card["name"] for one in found.new] == ["Zoë Ünvented"]
    assert found.problems == []


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "file_empty"),
        (b" \r\n\r\n", "file_empty"),
        (b"PK\x03\x04...", "a_workbook"),
        (b"a\x00b", "not_text"),
        (b"\xff\xfea", "not_text"),
        (b"Name,Room\r\nAna,1", "column_missing"),
        (b"First name,Date of birth\r\nAna,1", "column_missing"),
        (b"Name,DOB,Name\r\n", "column_twice"),
        (b'"Name,DOB\r\nAna,1', "no_header"),
        (b"x" * (8 * 1024 * 1024 + 1), "file_too_large"),
    ],
)
def test_what_is_no_list_says_why(content: bytes, code: str) -> None:
    with pytest.raises(Refused) as no:
        read(content)
    assert (no.value.code, no.value.field) == (code, "file")
    assert no.value.remedy


@pytest.mark.parametrize(
    ("written", "born"),
    [
        ("1941-03-31", "1941-03-31"), ("31/03/1941", "1941-03-31"), ("31.3.1941", "1941-03-31"),
        ("31 March 1941", "1941-03-31"), ("31st Mar. 1941", "1941-03-31"),
        ("March 31, 1941", "1941-03-31"), ("1941/3/31", "1941-03-31"),
        ("1941-03-31T00:00:00", "1941-03-31"), ("4/3/1941", "1941-03-04"),
        ("1940-02-29", "1940-02-29"), ("2 Sept 1941", "1941-09-02"),
    ],
)  # fmt: skip
def test_dates_as_lists_write_them(written: str, born: str) -> None:
    found = read(text_of(["Name", "DOB"], ["Ana", written]))
    assert [one.card["born"] for one in found.new] == [born]


def test_the_list_tells_which_comes_first_and_a_line_that_turns_it_is_named() -> None:
    rows = [["Name", "DOB"], ["Ana", "03/31/1941"], ["Bo", "04/05/1942"], ["Cy", "12/25/1930"],
            ["Di", "25/12/1930"]]  # fmt: skip
    found = read(text_of(*rows))
    assert (found.dates, found.dates_told) == ("month_first", True)
    assert [one.card["born"] for one in found.new] == ["1941-03-31", "1942-04-05", "1930-12-25"]
    assert told(found) == {("date_other_order", "born", 5)}
    unsaid = read(text_of(["Name", "DOB"], ["Bo", "04/05/1942"]))
    assert (unsaid.dates, unsaid.dates_told) == ("day_first", False)


def test_lines_are_numbered_as_an_editor_does_and_a_break_in_a_cell_is_kept_in_it() -> None:
    text = 'Name,DOB,Room\n\n"Ana\nInvented",1941-03-31,1\nBo,,2\n"Cy,1940-01-01,3\nDi,1940-01-01,4'
    found = read(text)
    assert told(found) == {("missing_field", "born", 5), ("quote_open", None, 6)}
    assert [(one.line, one.card["name"]) for one in found.new] == [(3, "Ana Invented"), (7, "Di")]


def there(**card: str) -> There:
    blank = dict.fromkeys(FIELDS, "") | {"see_last": False}
    return There(uuid4(), blank | {"name": "Ana Invented", "born": "1941-03-31"} | card, False)


def test_who_is_there_is_known_whatever_the_order_of_the_name() -> None:
    ana, bo, cy = there(room="12"), there(name="Bo Two", room="3"), there(name="Cy Three")
    rows = [["Name", "DOB", "Room"], ["INVENTED, Ana", "1941-03-31", "14"],
            ["Bo Two", "1941-03-31", ""], ["Di Four", "1950-01-01", "9"]]  # fmt: skip
    found = read(text_of(*rows), [ana, bo, cy])
    # A cell that is empty takes nothing away.
    assert [(one.client, one.changes) for one in found.changed] == [(ana.client, {"room": "14"})]
    assert [one.client for one in found.same] == [bo.client]
    assert [one.line for one in found.new] == [4]
    assert found.missing == [cy.client]


def test_who_may_be_the_same_person_is_asked() -> None:
    ana, bo = there(room="12"), there(name="Bo Two", born="1940-01-01", room="3")
    rows = [["Name", "DOB", "Room"], ["Ana Invented", "1941-03-13", "12"],
            ["Beau Tou", "1940-01-01", "3"]]  # fmt: skip
    found = read(text_of(*rows), [ana, bo])
    assert [(one.client, sorted(one.changes)) for one in found.unsure] == [
        (ana.client, ["born"]),
        (bo.client, ["name"]),
    ]
    assert (found.new, found.missing) == ([], [])


# 300 kinds of bad line: each wrong value in each column that it can be wrong in, and lines that are
# no lines of this table.
BAD_DATES = {
    "missing_field": ["", " "],
    "date_unreadable": ["unknown", "?", "n/a", "abt 1941", "31 Foo 1941", "March 1941", "1941-03",
                        "31-03", "circa", "(1941)", "1941 or 1942", "in her nineties",
                        "31/March", "1941-W10-2", "--", "deceased", "see file",
                        "31\\03\\1941", "1941;03;31", "31 March"],
    "date_short_year": ["31/03/41", "31.3.41", "31 Mar 41", "3-31-41", "1/1/00", "March 31, 41"],
    "date_a_number": ["15066", "41", "15066.5", "0", "1941", "310341", "19410331"],
    "date_not_there": ["1941-02-29", "31/04/1941", "1941-13-01", "00/03/1941", "1941-00-10",
                       "31 June 1941", "30 February 1940", "1941-12-32", "0000-01-01"],
    "date_other_order": ["03/31/1941", "12-25-1940", "1.13.1930"],
    "date_too_late": ["2026-11-29", "2031-03-31", "31/03/2041", "1 January 2027"],
    "date_too_early": ["1900-12-31", "1841-03-31", "31/03/0941", "1 May 1899"],
}  # fmt: skip
Kind = tuple[str, str | None, Callable[[list[str]], str]]


def cell(field: str, value: str) -> Callable[[list[str]], str]:
    at = FIELDS.index(field)
    return lambda good: text_of([*good[:at], value, *good[at + 1 :]]).strip("\r\n")


def kinds() -> list[Kind]:
    found: list[Kind] = []
    for code, values in BAD_DATES.items():
        found += [(code, "born", cell("born", value)) for value in values]
    texts = [field for field in FIELDS if field not in ("born", "see_last")]
    for field in texts:
        odd = [chr(c) for c in (1, 2, 7, 8, 27, 127, 0x81, 0x9F)]
        found += [("odd_character", field, cell(field, f"a{letter}b")) for letter in odd]
        lost = ["\ufffdn", "An\ufffd", "A\ufffdn", "\ufffd"]
        found += [("character_lost", field, cell(field, value)) for value in lost]
        found += [("too_long", field, cell(field, "x" * n)) for n in (255, 256, 400, 4000)]
        sums = ["#REF!", "#N/A", "#NAME?", "#VALUE!", "#DIV/0!", "=A1", "=VLOOKUP(B2)"]
        found += [("a_formula", field, cell(field, value)) for value in sums]
    found += [("missing_field", "name", cell("name", value)) for value in ("", " ", "\t")]
    found += [
        ("no_name", "name", cell("name", v)) for v in ("-", "12", "...", "()", "0", "?", "12/3")
    ]
    emails = [*"none ana@ @home ana@home ana.example a@b@c.d n/a".split(), "a b@home.example"]
    found += [("email_odd", "email", cell("email", value)) for value in emails]
    for field in ("phone", "contact_phone"):
        numbers = ["555;0100", "555 & 556", "tel: 555", "555?", "*555", "555 0100, 555 0101"]
        found += [("phone_odd", field, cell(field, value)) for value in numbers]
    answers = "maybe soon 2 last ja - oui ? infectious".split()
    found += [("not_yes_or_no", "see_last", cell("see_last", value)) for value in answers]
    for n in range(1, 10):
        found.append(("cells_too_few", None, lambda good, n=n: ",".join(good[:-n])))  # type: ignore[misc]
        found.append(("cells_too_many", None, lambda good, n=n: ",".join(good + ["x"] * n)))  # type: ignore[misc]
    found += [
        ("quote_open", None, lambda good: '"' + ",".join(good)),
        ("quote_open", None, lambda good: ",".join([*good[:-1], '"no'])),
        ("quote_odd", None, lambda good: '"Ana" Invented",' + ",".join(good[1:-1]) + ',"n"o"'),
        ("quote_odd", None, lambda good: '"Ana"x,' + ",".join(good[1:])),
    ]  # fmt: skip
    return found


def person(number: int) -> list[str]:
    """Nobody is there twice."""
    letters = "".join(chr(97 + int(digit)) for digit in str(number))
    return [f"Invented {letters}", f"19{30 + number % 40}-0{1 + number % 9}-{10 + number % 18}",
            str(number), *GOOD[3:]]  # fmt: skip


def test_ten_thousand_lines_with_three_hundred_kinds_of_bad_line() -> None:
    """Each is told with its line, its field and what to do; every other line is read."""
    bad = kinds()
    assert len(bad) >= 300
    chosen = random.Random(6)
    places = chosen.sample(range(10_000), 2 * len(bad))
    # An open quote is looked for some lines on, where another bad line must not close it.
    expected: set[tuple[str, str | None, int]] = set()
    lines = [",".join(HEADER)]
    at_place = dict(zip(places, bad * 2, strict=True))
    for number in range(10_000):
        good = person(number)
        kind = at_place.get(number)
        near = any('"' in lines[-k] for k in range(1, min(7, len(lines))))
        if kind is None or (near and kind[0].startswith("quote")):
            lines.append(",".join(good))
            continue
        code, field, make = kind
        written = make(good)
        if near and '"' in written:
            lines.append(",".join(good))
            continue
        lines.append(written)
        expected.add((code, field, len(lines)))
    assert len({(code, field) for code, field, _ in expected}) >= 40
    found = read("\r\n".join(lines))
    assert told(found) == expected
    assert found.lines == 10_000
    assert len(found.new) == 10_000 - len(expected)
    assert found.bad_lines == len(expected)
    # Grouped, so that a person can read it.
    assert len(found.problems) < 60
    assert all(one.text and one.remedy for one in found.problems)


def test_one_person_on_two_lines_is_told_on_both() -> None:
    rows = [
        ["Name", "DOB"],
        ["Ana Bell", "1941-03-31"],
        ["Bell, Ana", "1941-03-31"],
        ["Bo", "1941-03-31"],
    ]
    found = read(text_of(*rows))
    assert told(found) == {("there_twice", "name", 2), ("there_twice", "name", 3)}
    assert [one.line for one in found.new] == [4]


def test_no_problem_quotes_what_stands_there() -> None:
    marker = "zqxmarker"
    rows = [HEADER, [marker] * len(HEADER)]
    found = read(text_of(*rows))
    assert found.problems
    assert marker not in "".join(one.model_dump_json() for one in found.problems)
