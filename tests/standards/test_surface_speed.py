"""Surface speed of a head against the table of computed values, and what must hold of any.

Formula: Machinery's Handbook, cutting speed (from memory); the values are computed. There is no
check of a safe speed, because no published one for skin or nail was found.
"""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import book_for
from heelwright.rulebook.speed import rpm_for, surface_speed_m_s

VECTORS: dict[str, Any] = json.loads(
    (Path(__file__).parents[1] / "parity" / "speed.json").read_text(encoding="utf-8")
)
HEADS = st.floats(min_value=0.5, max_value=20)
TURNS = st.floats(min_value=100, max_value=60_000)


@pytest.mark.parametrize("case", VECTORS["speeds"], ids=lambda c: f"{c['head_mm']}mm-{c['rpm']}")
def test_the_table_of_heads_and_turns(case: dict[str, float]) -> None:
    assert surface_speed_m_s(case["head_mm"], case["rpm"]) == pytest.approx(case["m_s"], abs=0.005)


@pytest.mark.parametrize("case", VECTORS["six_mm"], ids=lambda case: str(case["rpm"]))
def test_six_millimetres_in_three_units(case: dict[str, float]) -> None:
    speed = surface_speed_m_s(case["head_mm"], case["rpm"])
    assert speed == pytest.approx(case["m_s"], abs=0.0005)
    assert speed * 60 == pytest.approx(case["m_min"], abs=0.05)
    assert speed * 60 / 0.3048 == pytest.approx(case["ft_min"], abs=0.5)


@pytest.mark.parametrize("case", VECTORS["turns"])
def test_turns_for_a_speed(case: dict[str, float]) -> None:
    assert round(rpm_for(case["m_s"], case["head_mm"])) == case["rpm"]


def test_equal_speeds_of_unequal_heads() -> None:
    speeds = [surface_speed_m_s(6, 20_000), surface_speed_m_s(10, 12_000)]
    assert speeds == pytest.approx([surface_speed_m_s(12, 10_000)] * 2)


@given(head_mm=HEADS, rpm=TURNS)
def test_twice_the_head_or_twice_the_turns_is_twice_the_speed(head_mm: float, rpm: float) -> None:
    once = surface_speed_m_s(head_mm, rpm)
    assert surface_speed_m_s(2 * head_mm, rpm) == pytest.approx(2 * once)
    assert surface_speed_m_s(head_mm, 2 * rpm) == pytest.approx(2 * once)
    assert rpm_for(once, head_mm) == pytest.approx(rpm)


@pytest.mark.parametrize(("head_mm", "rpm"), [*VECTORS["refused"], [float("nan"), 1], [1, 1e999]])
def test_what_is_not_a_size_or_a_speed_is_refused(head_mm: float, rpm: float) -> None:
    with pytest.raises(ValueError, match="more than 0"):
        surface_speed_m_s(head_mm, rpm)


def test_no_limit_in_metres_a_second_is_made_up() -> None:
    # No published safe limit was found: the book must not hold one, and must say so on screen.
    for place in (None, "us", "uk"):
        content = book_for(place).content
        assert [limit.id for limit in content.limits if limit.top_speed_m_s is not None] == []
        assert "no published safe surface speed" in content.words["en"]["rule.every_client"]
