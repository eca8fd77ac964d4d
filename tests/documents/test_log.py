"""A log over days, as paper and as a table: a small one, declared here as an area would. Check: RFC
4180 for the table; how long a log may be is our own rule, no source."""

import csv
import io
from datetime import date, timedelta
from pathlib import Path
from typing import Any, cast

import pytest
from django.http import HttpResponse
from django.test import Client as Browser
from hypothesis import example, given
from hypothesis import strategies as st

from heelwright.commandlog import registry
from heelwright.declarations import Days, Log, Refused
from heelwright.documents.days import days
from heelwright.documents.table import table
from heelwright.tenancy.models import Device
from tests.documents.papers import words_of
from tests.world import Hand, World

MARCH = {"from": "2026-03-01", "to": "2026-03-31"}


def fetched(reader: Device, span: Days) -> dict[str, Any]:
    if reader.staff.role != "owner":
        raise Refused("not_found", "Not for you.", "Ask the owner.", "name")
    rows = [[str(span.first), 'A "quoted", word'], [str(span.last), "é"]]
    return {"written_at": "2026-04-01T08:00:00+00:00", "columns": ["Day", "What"], "rows": rows}


@pytest.fixture(autouse=True)
def small_log(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(registry, "_logs", {})
    registry.log(Log("small_log", Path(__file__).parent / "small_log.typ", fetched))


def asked(hand: Hand | None, name: str = "small_log", **query: str) -> HttpResponse:
    headers = {"Authorization": f"Bearer {hand.token}"} if hand else {}
    answer = Browser().get(f"/api/documents/{name}", query, headers=headers)
    return cast("HttpResponse", answer)


@pytest.mark.django_db
def test_it_is_printed(world: World) -> None:
    answer = asked(world.owner, **MARCH)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Cache-Control"] == "no-store"
    assert "small_log_2026-03-01_2026-03-31.pdf" in answer.headers["Content-Disposition"]
    assert 'A "quoted", word' in words_of(answer.content)


@pytest.mark.django_db
def test_it_is_a_table(world: World) -> None:
    answer = asked(world.owner, form="csv", **MARCH)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"].startswith("text/csv")
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.content.decode("utf-8-sig").split("\r\n") == [
        "Day,What",
        '2026-03-01,"A ""quoted"", word"',
        "2026-03-31,é",
        "",
    ]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("query", "status", "field"),
    [
        ({}, 400, "from"),
        ({"from": "2026-03-01"}, 400, "to"),
        ({"from": "2026-02-30", "to": "2026-03-31"}, 400, "from"),
        ({"from": "2026-04-01", "to": "2026-03-31"}, 400, "from"),
        ({"from": "2020-04-01", "to": "2026-03-31"}, 400, "to"),
        ({**MARCH, "form": "xls"}, 422, "form"),
    ],
)
def test_what_is_wrong_is_told_with_its_field(
    world: World, query: dict[str, str], status: int, field: str
) -> None:
    answer = asked(world.owner, **query)
    assert answer.status_code == status
    told = answer.json()  # type: ignore[attr-defined]
    assert told["field"] == field and told["code"] and told["remedy"]


@pytest.mark.django_db
def test_it_is_for_whom_the_area_says(world: World) -> None:
    assert asked(world.technician, **MARCH).status_code == 404
    assert asked(None, **MARCH).status_code == 401
    assert asked(world.owner, "shopping_list", **MARCH).status_code == 404


@pytest.mark.parametrize(
    "text", ["", "today", "20260331", "2026-W14-1", "2026-3-1", "2026-13-01", "٢٠٢٦-03-01"]
)
def test_a_day_is_written_in_one_way(text: str) -> None:
    with pytest.raises(Refused) as refused:
        days("2026-03-01", text)
    assert (refused.value.code, refused.value.field) == ("not_a_day", "to")


@example(date(2026, 3, 1), -1)
@example(date(2026, 3, 1), 0)
@example(date(2026, 3, 1), 1826)
@example(date(2026, 3, 1), 1827)
@given(st.dates(max_value=date(2200, 1, 1)), st.integers(-3000, 3000))
def test_any_two_days_are_a_span_or_refused(first: date, further: int) -> None:
    try:
        last = first + timedelta(days=further)
    except OverflowError:
        return
    if 0 <= further <= 1826:
        assert days(str(first), str(last)) == Days(first, last)
    else:
        with pytest.raises(Refused) as refused:
            days(str(first), str(last))
        expected = "days_turned" if further < 0 else "too_many_days"
        assert refused.value.code == expected


def test_five_whole_years_are_not_too_many() -> None:
    """2020 and 2024 are leap years: the longest five years there are."""
    assert days("2020-01-01", "2024-12-31").last == date(2024, 12, 31)


@pytest.mark.parametrize(
    "cell", ["=1+1", "+cmd", "-x", "@sum", "\tx", "\r=1", "-1+2", "\uff1d1+1", "\uff20sum"]
)
def test_no_cell_is_a_formula(cell: str) -> None:
    """OWASP, CSV injection (from memory)."""
    assert read(cell) == [["What"], [f"'{cell}"]]


@pytest.mark.parametrize("cell", ["-5", "+3.5", "2-3", "", "a=b", "ends, here", 'say "x"', "a\nb"])
def test_other_cells_stay_as_they_are(cell: str) -> None:
    assert read(cell) == [["What"], [cell]]


def read(cell: str) -> list[list[str]]:
    content = table({"columns": ["What"], "rows": [[cell]]}).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(content, newline="")))
