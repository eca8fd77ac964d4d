"""A foot that is not there, or that the client will not show: the check ends, nothing is guessed.

Our own rule; that feet at risk are looked at on every visit: ADA Standards of Care 2024, section 12
(published by a secondary source).
"""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.rulebook import OUTCOMES
from tests.parity.random_answers import Drawn
from tests.rulebook.clients import BOOK, clients
from tests.standards.clients import DIABETIC, FELT, WELL, finding, fired, judged

FEET = ["left", "right"]
OUT_OF_SIGHT = ["no_foot", "no_leg", "not_shown"]
HELD_FROM = OUTCOMES.index("needs_clearance")


def with_feet(answers: dict[str, Any], left: str, right: str) -> dict[str, Any]:
    return answers | {"left_foot_seen": left, "right_foot_seen": right}


@pytest.mark.parametrize("foot", FEET)
def test_a_hidden_foot_ends_the_check_and_is_left_alone(foot: str) -> None:
    touch = [site for site in FELT if not site.startswith(foot)]
    answers = WELL | {f"{foot}_foot_seen": "not_shown", "touch_test": touch}
    judgement = judged(answers)
    assert (judgement.complete, judgement.held) == (True, False)
    assert judgement.outcome == "go_with_limits"
    assert f"{foot}_foot" in judgement.limits.leave_alone
    assert "carbide_ball" not in (judgement.limits.bits_allowed or ["carbide_ball"])


@pytest.mark.parametrize("sign", [{"poor_circulation": True}, {"numb_feet": True},
                                  {"ulcer_before": True}, {"amputation": "dont_know"}])  # fmt: skip
def test_a_hidden_foot_at_risk_waits_for_a_professional(sign: dict[str, Any]) -> None:
    for start in (WELL | sign, DIABETIC):
        judgement = judged(start | {"right_foot_seen": "not_shown", "touch_test": FELT[:3]})
        assert "hidden_foot_at_risk" in fired(judgement)
        assert judgement.outcome == "needs_clearance"


@pytest.mark.parametrize("left", OUT_OF_SIGHT)
@pytest.mark.parametrize("right", OUT_OF_SIGHT)
def test_without_a_foot_to_look_at_there_is_no_work(left: str, right: str) -> None:
    judgement = judged(with_feet(WELL, left, right))
    assert judgement.limits.bits_allowed == ()
    assert judgement.limits.softener == "none"
    assert {"left_foot", "right_foot"} <= set(judgement.limits.leave_alone)
    feet = {"left_foot_seen", "right_foot_seen"}
    foot = {q.id for g in BOOK.content.groups if g.part == "foot" for q in g.questions}
    assert foot & set(judgement.shown) == feet
    unlooked = judged(
        {k: v for k, v in with_feet(WELL, left, right).items() if k not in foot - feet}
    )
    assert unlooked.held


@pytest.mark.parametrize("feet", [("not_shown", "not_shown"), ("no_leg", "not_shown")])
def test_nothing_looked_at_is_never_a_no(feet: tuple[str, str]) -> None:
    judgement = judged(with_feet(WELL, *feet))
    assert not judgement.complete
    assert "crack_open_or_bleeding" in {rule.id for rule in judgement.open}


@given(clients(), st.sampled_from(FEET))
def test_hiding_a_foot_that_was_seen_whole_is_never_milder(client: Drawn, foot: str) -> None:
    answers, findings, age = client
    seen = BOOK.judge(answers | {f"{foot}_foot_seen": "seen"}, findings, age)
    hidden = BOOK.judge(answers | {f"{foot}_foot_seen": "not_shown"}, findings, age)
    assert hidden.held or OUTCOMES.index(hidden.outcome) >= OUTCOMES.index(seen.outcome)
    assert f"{foot}_foot" in hidden.limits.leave_alone


@given(clients(), st.sampled_from([f"toe_{n}" for n in range(1, 6)]), st.sampled_from(FEET))
def test_a_toe_marked_as_gone_never_eases_anything(client: Drawn, toe: str, foot: str) -> None:
    answers, findings, age = client
    gone = [*findings, finding("toe_gone", foot=foot, region=toe)]
    before, after = BOOK.judge(answers, findings, age), BOOK.judge(answers, gone, age)
    assert OUTCOMES.index(after.outcome) >= max(HELD_FROM, OUTCOMES.index(before.outcome))


def test_a_toe_is_gone_whether_the_map_or_the_touch_says_so() -> None:
    by_touch = [site.replace("left_3:felt", "left_3:no_toe") for site in FELT]
    told = judged(WELL | {"touch_test": by_touch})
    marked = judged(WELL, [finding("toe_gone", region="toe_3")])
    assert fired(told) == fired(marked)
    assert "amputated" in fired(marked)
    assert marked.complete


def test_toes_that_are_all_gone_are_a_test_that_cannot_be_done() -> None:
    no_toes = [site.replace(":felt", ":no_toe") for site in FELT]
    judgement = judged(WELL | {"touch_test": no_toes})
    assert judgement.complete
    assert {"amputated", "feeling_not_sure"} <= fired(judgement)
