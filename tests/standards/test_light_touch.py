"""The Ipswich Touch Test: two or more of six toes not felt means reduced feeling.

Source: Rayman et al., Diabetes Care 2011;34:1517 (published): first, third and fifth toes of both
feet, positive at two or more. It prompts; it does not diagnose.
"""

from itertools import product

import pytest

from tests.standards.clients import DIABETIC, FELT, SITES, WELL, fired, judged

PATTERNS = list(product((True, False), repeat=len(SITES)))


def test_the_six_sites_are_those_of_the_paper() -> None:
    # Trap: one podiatry wiki says toes 1, 2 and 5; the paper says 1, 3 and 5.
    assert {site.split("_")[1] for site in SITES} == {"1", "3", "5"}
    assert len(PATTERNS) == 64


@pytest.mark.parametrize(
    "felt", PATTERNS, ids=lambda felt: "".join("+" if f else "-" for f in felt)
)
def test_the_cut_off_in_all_patterns(felt: tuple[bool, ...]) -> None:
    touch = [f"{site}:{'felt' if f else 'not_felt'}" for site, f in zip(SITES, felt, strict=True)]
    not_felt = felt.count(False)
    judgement = judged(WELL | {"touch_test": touch})
    assert ("feeling_reduced" in fired(judgement)) is (not_felt >= 2)
    assert judgement.outcome == (
        "needs_clearance" if not_felt >= 2 else "go_with_limits" if not_felt == 1 else "go"
    )


@pytest.mark.parametrize("not_felt", range(7))
def test_in_diabetes_the_cut_off_makes_category_1(not_felt: int) -> None:
    # IWGDF 2023, Table 1 (published by a secondary source) on the cut-off of the paper.
    touch = [f"{site}:not_felt" for site in SITES[:not_felt]] + FELT[not_felt:]
    judgement = judged(DIABETIC | {"touch_test": touch})
    assert ("iwgdf_1" in fired(judgement)) is (not_felt >= 2)


def test_a_test_that_cannot_be_done_is_unknown_feeling_and_never_good_feeling() -> None:
    # Common practice, no source: reduced or unknown feeling, no carbide.
    judgement = judged(WELL | {"touch_test": "dont_know", "callus_pinpoint": True})
    assert judgement.outcome == "go_with_limits"
    assert not [bit for bit in judgement.limits.bits_allowed or () if bit.startswith("carbide")]
    assert judged(DIABETIC | {"touch_test": "dont_know"}).outcome == "needs_clearance"


def test_half_a_test_is_unknown_feeling_and_no_test_holds() -> None:
    half = judged(WELL | {"touch_test": FELT[:3]})
    assert half.outcome == "go_with_limits"
    assert judged(DIABETIC | {"touch_test": FELT[:3]}).outcome == "needs_clearance"
    unasked = judged({key: value for key, value in WELL.items() if key != "touch_test"})
    assert unasked.held and "touch_test" in unasked.to_ask


def test_a_missing_toe_or_foot_is_a_normal_answer() -> None:
    # Our own careful reading: with fewer toes to touch, one that does not feel is enough.
    toe = [site.replace("left_5:felt", "left_5:no_toe") for site in FELT]
    assert judged(WELL | {"touch_test": toe}).complete
    numb = [site.replace("left_1:felt", "left_1:not_felt") for site in toe]
    assert "feeling_reduced" in fired(judged(WELL | {"touch_test": numb}))
    one_foot = WELL | {"left_foot_seen": "no_foot", "amputation": True, "touch_test": FELT[3:]}
    judgement = judged(one_foot)
    assert judgement.complete
    assert judgement.outcome == "needs_clearance"


def test_the_cut_off_where_toes_are_missing() -> None:
    """All 3^6 patterns. With six toes by the paper; with fewer by our own careful reading."""
    for pattern in product(("felt", "not_felt", "no_toe"), repeat=len(SITES)):
        touch = [f"{site}:{state}" for site, state in zip(SITES, pattern, strict=True)]
        not_felt, missing = pattern.count("not_felt"), pattern.count("no_toe")
        reduced = not_felt >= (1 if missing else 2)
        assert ("feeling_reduced" in fired(judged(WELL | {"touch_test": touch}))) is reduced, touch
