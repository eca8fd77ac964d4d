"""The picture of a signature. Check: our own rule, and SVG 2 (W3C) as an XML parser reads it."""

import xml.etree.ElementTree as ET
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from heelwright.intake.signature import MARGIN, picture

at = st.floats(-10_000, 10_000, allow_nan=False)
strokes = st.lists(st.lists(st.fixed_dictionaries({"x": at, "y": at}), max_size=8), max_size=5)


def test_a_line_and_a_tap() -> None:
    drawn = picture([[{"x": 10, "y": 20}, {"x": 13.04, "y": 24}], [{"x": 12, "y": 22}]])
    path = ET.fromstring(drawn)[0]
    assert path.attrib["d"] == "M4.0 4.0L7.0 8.0M6.0 6.0h.01"
    assert ET.fromstring(drawn).attrib["viewBox"] == "0 0 11.0 12.0"


def test_nothing_drawn_is_no_picture() -> None:
    assert picture([]) == picture([[]]) == ""


@given(strokes)
def test_the_same_strokes_make_the_same_picture_and_all_of_it_is_inside(drawn: Any) -> None:
    made = picture(drawn)
    assert made == picture([[dict(point) for point in stroke] for stroke in drawn])
    if made:
        _, _, width, height = map(float, ET.fromstring(made).attrib["viewBox"].split())
        assert min(width, height) >= 2 * MARGIN - 0.1
        assert made.count("M") == sum(bool(stroke) for stroke in drawn)
