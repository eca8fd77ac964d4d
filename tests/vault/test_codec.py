"""Values to bytes and back: the same, or refused with no word of the value."""

from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.vault.codec import from_bytes, to_bytes
from heelwright.vault.errors import SealBroken, UnsealableValue
from heelwright.vault.place import Kind

ANY_TEXT = st.text(st.characters(codec=None))  # Lone surrogates too.
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | ANY_TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(ANY_TEXT, inner, max_size=4),
    max_leaves=12,
)
VALUES = st.one_of(
    st.tuples(st.just(Kind.TEXT), ANY_TEXT),
    st.tuples(st.just(Kind.DATE), st.dates()),
    st.tuples(st.just(Kind.INTEGER), st.integers()),
    st.tuples(st.just(Kind.FLAG), st.booleans()),
    st.tuples(st.just(Kind.MAPPING), st.dictionaries(ANY_TEXT, JSON, max_size=4)),
    st.tuples(st.just(Kind.LIST), st.lists(JSON, max_size=4)),
    st.tuples(st.just(Kind.BYTES), st.binary()),
)


@given(VALUES)
def test_every_value_comes_back_with_its_type(case: tuple[Kind, Any]) -> None:
    kind, value = case
    back = from_bytes(kind, to_bytes(kind, value))
    assert back == value
    assert type(back) is type(value)


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (Kind.INTEGER, True),
        (Kind.FLAG, 1),
        (Kind.TEXT, b"marker"),
        (Kind.DATE, datetime(2026, 11, 25, tzinfo=UTC)),
        (Kind.DATE, "2026-11-25"),
        (Kind.MAPPING, {1: "marker"}),
        (Kind.MAPPING, {"marker": (1, 2)}),
        (Kind.MAPPING, {"marker": float("nan")}),
        (Kind.MAPPING, {"marker": date(2026, 11, 25)}),
        (Kind.MAPPING, ["marker"]),
        (Kind.LIST, {"marker": 1}),
        (Kind.TEXT, None),
    ],
)
def test_what_would_come_back_otherwise_is_refused_without_showing_it(
    kind: Kind, value: Any
) -> None:
    with pytest.raises(UnsealableValue) as caught:
        to_bytes(kind, value)
    assert "marker" not in str(caught.value)
    assert caught.value.__suppress_context__ or caught.value.__context__ is None


@pytest.mark.parametrize(
    ("kind", "stored"),
    [
        (Kind.FLAG, b"2"),
        (Kind.INTEGER, b"marker"),
        (Kind.DATE, b"marker"),
        (Kind.MAPPING, b"marker"),
        (Kind.MAPPING, b"[1]"),
        (Kind.TEXT, b"\xff"),
    ],
)
def test_bytes_of_another_kind_raise(kind: Kind, stored: bytes) -> None:
    with pytest.raises(SealBroken) as caught:
        from_bytes(kind, stored)
    assert "marker" not in str(caught.value)
