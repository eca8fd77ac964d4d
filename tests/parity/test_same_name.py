"""Whose name it is, from the pairs that the phone runs as well. Check: our own rule, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.people.rules import NO_NAMES, same_name
from tests.parity.vectors import read

VECTORS = read("same_name.json")
names = st.lists(
    st.text("abcxyzéüß", min_size=1).filter(lambda word: word not in NO_NAMES), min_size=1
).map(" ".join)


@pytest.mark.parametrize(("one", "other"), VECTORS["same"])
def test_one_name(one: str, other: str) -> None:
    assert same_name(one, other) and same_name(other, one)


@pytest.mark.parametrize(("one", "other"), VECTORS["different"])
def test_two_names(one: str, other: str) -> None:
    assert not same_name(one, other) and not same_name(other, one)


@given(names)
def test_neither_order_nor_case_nor_title_makes_another_name(name: str) -> None:
    assert same_name(name, f"Dr. {' '.join(reversed(name.upper().split()))}")


@given(names)
def test_one_more_word_makes_another_name(name: str) -> None:
    assert not same_name(name, f"{name} qqq")
