"""The trade's own figures. Every check here is "common practice, no source"."""

from typing import Any

import pytest

from heelwright.rulebook import book_for
from heelwright.rulebook.schema import Bit, Limit
from tests.standards.clients import DIABETIC, NUMB, OLDER, WELL, finding, fired, judged

DIAMONDS = ("diamond_fine_two_sided", "diamond_large")
HARD_CALLUS = {"callus_pinpoint": True}


def bit(bit_id: str) -> Bit:
    return next(bit for bit in book_for(None).content.bits if bit.id == bit_id)


def limit(limit_id: str) -> Limit:
    return next(limit for limit in book_for(None).content.limits if limit.id == limit_id)


@pytest.mark.parametrize(
    ("family", "rpm"),
    [
        ("carbide_tapered", 35_000),  # common practice, no source, all rows
        ("carbide_ball", 25_000),
        ("diamond_large", 20_000),
        ("diamond_fine_two_sided", 18_000),
    ],
)
def test_usual_speeds_are_the_most_for_anybody(family: str, rpm: int) -> None:
    assert bit(family).usual_rpm == rpm
    assert judged(WELL).limits.max_rpm[family] == rpm
    assert (bit(family).basis, limit("everyone").basis) == ("common_practice", "common_practice")


def test_after_carbide_the_surface_is_finished_with_diamond() -> None:
    # Diamonds need no stepping down of grit, so nothing has to follow them.
    for family in book_for(None).content.bits:
        assert set(family.finish_with) == (set(DIAMONDS) if family.cutting else set())


def test_carbide_only_on_callus_through_which_a_point_is_not_felt() -> None:
    assert judged(WELL).limits.bits_allowed == DIAMONDS
    assert judged(WELL | HARD_CALLUS).limits.bits_allowed is None
    unsure = judged(WELL | {"callus_pinpoint": "dont_know"})
    unasked = judged({key: value for key, value in WELL.items() if key != "callus_pinpoint"})
    assert unsure.limits.bits_allowed == unasked.limits.bits_allowed == DIAMONDS


@pytest.mark.parametrize(
    "change",
    [
        {"touch_test": NUMB},
        {"touch_test": [*NUMB[:1], *WELL["touch_test"][1:]]},
        {"touch_test": "dont_know"},
        {"numb_feet": "dont_know"},
        {"can_say_stop": False},
        {"diabetes": "dont_know"},
        {"blood_thinner": True},
        {"thin_skin": True},
        DIABETIC,
    ],
    ids=lambda change: str(change)[:40],
)
def test_no_carbide_where_feeling_is_reduced_or_unknown_or_in_diabetes(
    change: dict[str, Any],
) -> None:
    allowed = judged(WELL | change | HARD_CALLUS).limits.bits_allowed
    assert allowed is not None
    assert set(allowed) <= set(DIAMONDS)


def test_on_a_diabetic_client_far_less_and_the_depth_of_cracks_is_left() -> None:
    limits = judged(DIABETIC, [finding("crack", depth_mm=1.0)]).limits
    assert "crack_depth" in limits.leave_alone
    for family in DIAMONDS:
        assert limits.max_rpm[family] * 2 <= bit(family).usual_rpm


@pytest.mark.parametrize("place", [None, "us", "uk"])
@pytest.mark.parametrize("answers", [WELL, DIABETIC, WELL | HARD_CALLUS])
def test_no_blade_and_no_bit_in_a_crack_for_anybody(
    answers: dict[str, Any], place: str | None
) -> None:
    # No blade: California 16 CCR 991 (published). No bit in a crack: common practice, no source.
    limits = judged(answers, place=place).limits
    assert limits.no_blades
    assert limits.no_bit_in_crack


@pytest.mark.parametrize(
    ("crack", "outcome"),
    [
        ({"depth_mm": 0.5}, "go"),
        ({"depth_mm": 2.0}, "go"),
        ({"depth_mm": 2.1}, "go_with_limits"),
        ({"depth_mm": 4.0}, "go_with_limits"),
        ({"depth_mm": 4.1}, "needs_clearance"),
        ({"depth_mm": 0.5, "bleeding": True}, "refer_first"),
        ({"depth_mm": 0.5, "oozing": True}, "refer_first"),
        ({"depth_mm": 0.5, "state": "open"}, "refer_first"),
    ],
    ids=str,
)
@pytest.mark.parametrize("age", [50, 80])
def test_a_crack_about_2_mm_deep_and_dry_is_cosmetic_work(
    crack: dict[str, Any], outcome: str, age: int
) -> None:
    judgement = judged(WELL if age == 50 else OLDER, [finding("crack", **crack)], age)
    assert judgement.outcome == outcome
    assert not judgement.held


@pytest.mark.parametrize("unknown", ["depth_mm", "state", "bleeding", "oozing"])
def test_a_crack_of_which_something_is_not_known_holds(unknown: str) -> None:
    judgement = judged(WELL, [finding("crack", **{unknown: None})])
    assert judgement.held
    assert "findings" in judgement.to_ask


def test_signs_of_infection_near_a_shallow_crack_refer() -> None:
    assert judged(WELL | {"infection_signs": True}, [finding("crack")]).outcome == "refer_first"


def test_weeks_until_the_next_visit() -> None:
    # Severe dry cracks come back in 4 to 6 weeks.
    assert judged(WELL, [finding("crack", depth_mm=2.0)]).weeks_until_next == 4
    assert judged(WELL, [finding("crack", depth_mm=1.0)]).weeks_until_next == 6
    assert judged(WELL, [finding("callus")]).weeks_until_next == 6
    assert judged(WELL).weeks_until_next == 8


@pytest.mark.parametrize(
    ("answers", "weeks"),
    [
        ({"numb_feet": True}, 6),
        ({"poor_circulation": True}, 6),
        ({"ulcer_before": True}, 4),
        ({"amputation": True}, 4),
        ({"numb_feet": "dont_know"}, 6),
    ],
)
def test_who_is_at_risk_comes_back_sooner(answers: dict[str, object], weeks: int) -> None:
    """Common practice, no source for the weeks. Who is at risk: IWGDF 2023, read in a secondary
    source; an ulcer or a loss before counts as high risk also with feeling, our own rule."""
    assert judged(WELL | answers).weeks_until_next == weeks
    assert judged(WELL | answers, [finding("crack", depth_mm=2.0)]).weeks_until_next == 4


def test_stop_at_pink_soft_or_warm_skin_and_never_to_blood() -> None:
    signs = {sign.id: sign.basis for sign in book_for(None).content.stop_signs}
    for sign in ("pink", "soft", "warm", "blood"):
        assert signs[sign] == "common_practice"


@pytest.mark.parametrize("place", [None, "us", "uk"])
def test_an_ordinary_client_with_dry_heels_can_be_worked_on(place: str | None) -> None:
    dry = [finding("dryness"), finding("crack"), finding("callus")]
    for answers, age in ((WELL, 50), (OLDER, 80)):
        judgement = judged(answers, dry, age, place)
        assert (judgement.outcome, judgement.complete, judgement.held) == ("go", True, False)
    diabetic = judged(DIABETIC, dry, 50, place)
    assert (diabetic.outcome, diabetic.held) == ("go_with_limits", False)


def test_clients_of_65_and_over_are_asked_more() -> None:
    assert judged(WELL, age=64).complete
    older = judged(WELL, age=65)
    assert older.held
    assert {"falls", "skin_tears", "memory_trouble", "lives_alone", "reach_feet"} <= {*older.to_ask}


def test_who_cannot_follow_needs_one_who_may_sign() -> None:
    # Mental Capacity Act 2005 sections 1 to 3 (from memory).
    lost = WELL | {"understands_today": False}
    assert judged(lost | {"signer_ready": True}).outcome == "go_with_limits"
    assert "representative" in fired(judged(lost | {"signer_ready": True}))
    assert judged(lost | {"signer_ready": False}).outcome == "needs_clearance"
    assert judged(lost).held
