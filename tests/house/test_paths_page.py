"""Each test that docs/no-way-past.md names exists. Check: our own rule."""

import re

from tests.house.faults import ROOT

NAMED = re.compile(r"`(tests/[\w/]+\.py)::(test_\w+)`")


def missing(page: str) -> list[str]:
    return [
        f"{file}::{name}"
        for file, name in NAMED.findall(page)
        if not (ROOT / file).is_file() or f"\ndef {name}(" not in (ROOT / file).read_text()
    ]


def test_each_test_of_the_page_exists() -> None:
    page = (ROOT / "docs" / "no-way-past.md").read_text()
    assert page.count("::test_") == len(NAMED.findall(page)) > 20
    assert missing(page) == []


def test_one_that_is_not_there_is_found() -> None:
    there = "`tests/house/test_paths_page.py::test_each_test_of_the_page_exists`"
    gone = ["tests/house/test_paths_page.py::test_gone", "tests/no.py::test_one"]
    assert missing(" ".join([there, *(f"`{name}`" for name in gone)])) == gone
