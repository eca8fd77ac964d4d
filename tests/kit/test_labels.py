"""A label's code, from the vectors that the phone runs as well. Check: Crockford's base 32 and its
check symbol (published encoding, from memory); that it finds what it should follows from modulo
37 and is shown here by trying."""

from collections.abc import Iterator
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.kit.labels import SYMBOLS, BadLabel, LabelProblem, draw_label, read_label
from tests.parity.vectors import read

VECTORS = read("labels.json")


def labels() -> st.SearchStrategy[str]:
    return st.randoms(use_true_random=False).map(lambda random: draw_label(random.randbytes))


def with_symbol(label: str, place: int, symbol: str) -> str:
    return label[:place] + symbol + label[place + 1 :]


def places(label: str) -> list[int]:
    return [place for place, symbol in enumerate(label) if symbol != "-"]


def problem_of(text: str) -> LabelProblem:
    with pytest.raises(BadLabel) as refused:
        read_label(text)
    return refused.value.problem


@pytest.mark.parametrize("case", VECTORS["drawn"], ids=lambda case: case["label"])
def test_draws(case: dict[str, object]) -> None:
    drawn: Iterator[list[int]] = iter(case["bytes"])  # type: ignore[call-overload]  # of JSON
    assert draw_label(lambda _: bytes(next(drawn))) == case["label"]
    assert list(drawn) == []


@pytest.mark.parametrize("case", VECTORS["read"], ids=lambda case: repr(case["text"]))
def test_reads(case: dict[str, str]) -> None:
    assert read_label(case["text"]) == case["label"]


@pytest.mark.parametrize("case", VECTORS["unreadable"], ids=lambda case: repr(case["text"]))
def test_says_what_is_wrong(case: dict[str, str]) -> None:
    assert problem_of(case["text"]) == case["problem"]


def test_a_refusal_has_a_remedy_and_nothing_of_what_was_read() -> None:
    with pytest.raises(BadLabel) as refused:
        read_label("Maria Example")
    assert "Give all of them" in str(refused.value)
    assert "Maria" not in repr(refused.value)


@given(labels())
def test_what_is_drawn_is_read_again(label: str) -> None:
    assert read_label(label) == read_label(label.lower().replace("-", " ")) == label


@given(labels())
def test_every_single_slip_is_found(label: str) -> None:
    for place in places(label):
        for other in set(SYMBOLS) - {label[place]}:
            assert problem_of(with_symbol(label, place, other)) == LabelProblem.CHECK


@given(labels())
def test_every_swap_of_neighbours_is_found(label: str) -> None:
    for one, other in pairwise(places(label)):
        if label[one] != label[other]:
            swapped = with_symbol(with_symbol(label, one, label[other]), other, label[one])
            assert problem_of(swapped) == LabelProblem.CHECK


@given(labels())
def test_a_symbol_left_out_or_typed_twice_is_found(label: str) -> None:
    for place in places(label):
        assert problem_of(label[:place] + label[place + 1 :]) == LabelProblem.LENGTH
        assert problem_of(with_symbol(label, place, label[place] * 2)) == LabelProblem.LENGTH


def test_one_in_37_of_two_slips_passes() -> None:
    """What the check does not find, so that nobody takes it for more."""
    label = "0000-16JD"
    tried = [
        with_symbol(with_symbol(label, 5, one), 6, other)
        for one in set(SYMBOLS) - {"1"}
        for other in set(SYMBOLS) - {"6"}
    ]
    passed = [text for text in tried if _reads(text)]
    assert 0 < len(passed) < len(tried) / 30


def _reads(text: str) -> bool:
    try:
        return read_label(text) == text
    except BadLabel:
        return False
