"""Whether a visit's record stayed inside its limits, as a pure decision."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import book_for
from heelwright.visits.rules import breaches, minutes_on

BITS = {bit.id: bit.model_dump() for bit in book_for().content.bits}
FREE: dict[str, Any] = {
    "bits_allowed": None,
    "top_speed_m_s": None,
    "max_rpm": {},
    "no_bit_in_crack": False,
    "softener": "allowed",
    "softener_max_percent": None,
    "softener_max_minutes": None,
    "leave_alone": [],
}
NOTHING: dict[str, Any] = {"bits": [], "softeners": []}


def use(family: str = "diamond_large", rpm: float = 10_000, **more: Any) -> dict[str, Any]:
    return {"family": family, "head_mm": 6, "rpm": rpm, "places": [], **more}


def softener(**more: Any) -> dict[str, Any]:
    return {
        "urea_percent": 10,
        "placed_at": "2026-11-25T10:00:00Z",
        "removed_at": "2026-11-25T10:02:30Z",
        "places": [],
        **more,
    }


def past(limits: dict[str, Any], **record: Any) -> list[str]:
    return breaches({**FREE, **limits}, BITS, {**NOTHING, **record})


def test_nothing_used_is_within_any_limit() -> None:
    assert past({"bits_allowed": [], "softener": "none"}) == []


def test_a_family_that_is_not_allowed() -> None:
    assert past({"bits_allowed": ["diamond_large"]}, bits=[use("diamond_fine_two_sided")]) == [
        "bit_not_allowed"
    ]


def test_the_surface_speed_where_a_book_sets_one() -> None:
    """6 mm at 10,000 a minute runs at 3.14 m/s: v = pi d n, arithmetic."""
    assert past({"top_speed_m_s": 3.0}, bits=[use()]) == ["too_fast"]
    assert past({"top_speed_m_s": 3.2}, bits=[use()]) == []
    assert past({"top_speed_m_s": 3.0}, bits=[use(rpm=0)]) == []


def test_a_pointed_bit_is_never_for_a_crack() -> None:
    """Common practice, no source."""
    worked = [use("carbide_tapered", places=["crack"]), use()]
    assert past({}, bits=worked) == ["bit_in_crack"]


def test_cutting_is_finished_smooth() -> None:
    """After any carbide bit the surface is finished with diamond: common practice, no source."""
    assert past({}, bits=[use("carbide_ball"), use()]) == []
    assert past({}, bits=[use(), use("carbide_ball")]) == ["not_finished_smooth"]


def test_places_to_leave_alone() -> None:
    leave = {"leave_alone": ["between_toes"]}
    assert past(leave, bits=[use(places=["between_toes"])]) == ["area_to_leave_alone"]
    assert past(leave, softeners=[softener(places=["between_toes"])]) == ["area_to_leave_alone"]
    assert past(leave, bits=[use(places=["heel"])]) == []


def test_minutes_on() -> None:
    assert minutes_on(softener()) == 2.5
    assert minutes_on(softener(removed_at=None)) is None
    assert minutes_on(softener(removed_at="2026-11-25T09:59:00Z")) is None


@given(
    st.lists(st.sampled_from(sorted(BITS)), max_size=5),
    st.sets(st.sampled_from(sorted(BITS))),
    st.dictionaries(st.sampled_from(sorted(BITS)), st.integers(1000, 40_000)),
)
def test_a_tighter_limit_finds_at_least_as_much(
    used: list[str], allowed: set[str], rpm: dict[str, int]
) -> None:
    bits = [use(family, rpm=BITS[family]["usual_rpm"]) for family in used]
    loose = past({}, bits=bits)
    tight = past({"bits_allowed": sorted(allowed), "max_rpm": rpm}, bits=bits)
    assert set(loose) <= set(tight)
