"""How fast an active foot problem must be seen, and by whom.

NICE NG19 rec. 1.4.1 and 1.4.2: the clock is published by a secondary source (GPnotebook; NHS
Borders), the exact list of active problems is from memory. Other rows say their own status.
"""

from typing import Any

import pytest

from heelwright.rulebook import Referral
from tests.standards.clients import DIABETIC, WELL, finding, fired, judged

AT_ONCE = Referral("emergency", "emergency_services", "now")

LIMB_OR_LIFE_THREATENING: list[tuple[str, dict[str, Any], list[str]]] = [
    # NICE NG19 1.4.1: at once to acute services (published by a secondary source)
    ("ulcer with fever", {"open_sore": True, "unwell_today": True}, []),
    ("ulcer on the map with fever", {"unwell_today": True}, ["ulcer"]),
    ("ulcer with pain at rest", {"open_sore": True, "rest_pain": True}, []),
    ("ulcer on a pale cold foot", {"open_sore": True, "pale_cold_foot": True}, []),
    ("deep infection suspected", {"spreading_infection": True}, []),
    ("gangrene, no ulcer", {"black_tissue": True}, []),
    ("gangrene on the map", {}, ["black_tissue"]),
    # IWGDF/IDSA 2023: general signs make an infection severe (from memory)
    ("infection with fever", {"infection_signs": True, "unwell_today": True}, []),
]
ACTIVE: list[tuple[str, dict[str, Any], list[str]]] = [
    # NICE NG19 1.4.2: within 1 working day (published by a secondary source; list from memory)
    ("ulcer", {"open_sore": True}, []),
    ("ulcer on the map", {}, ["ulcer"]),
    ("infection", {"infection_signs": True}, []),
    ("pus on the map", {}, ["discharge"]),
    ("pain at rest", {"rest_pain": True}, []),
    ("hot swollen foot", {"hot_swollen_foot": True}, []),
]
RED_FLAGS: list[tuple[dict[str, Any], str, str]] = [
    # Acute limb ischaemia: emergency call (context of NICE CG147, from memory)
    ({"sudden_cold_leg": True}, "emergency", "now"),
    # General first aid (common practice, no source)
    ({"chest_or_breath": True}, "emergency", "now"),
    # Possible deep vein thrombosis: same day (Wells score, NICE NG158, from memory)
    ({"calf_sore": True}, "refer_first", "same_day"),
    ({"calf_one_sided": True}, "refer_first", "same_day"),
    ({"swelling_seen": "one_foot"}, "refer_first", "same_day"),
    ({"leg_swelling": "one_leg"}, "refer_first", "same_day"),
    # Chronic limb-threatening ischaemia (ESVS/SVS 2019, from memory)
    ({"rest_pain": True}, "refer_first", "same_day"),
    ({"pale_cold_foot": True}, "refer_first", "same_day"),
    # Charcot, neuropathy known or likely (IWGDF Charcot 2023, published by a secondary source)
    ({"hot_swollen_foot": True}, "refer_first", "same_day"),
    # Ulcer, no signs of illness: 1 working day (published by a secondary source)
    ({"open_sore": True}, "refer_first", "one_working_day"),
    # Mild or moderate infection: 1 working day (IWGDF/IDSA 2023, from memory)
    ({"infection_signs": True}, "refer_first", "one_working_day"),
]
FASTER_THAN_A_WORKING_DAY = ("now", "same_day", "one_working_day")


@pytest.mark.parametrize("base", [DIABETIC, WELL], ids=["diabetic", "not_diabetic"])
@pytest.mark.parametrize(
    ("answers", "marks"), [row[1:] for row in LIMB_OR_LIFE_THREATENING],
    ids=[row[0] for row in LIMB_OR_LIFE_THREATENING],
)  # fmt: skip
def test_limb_or_life_threatening_goes_at_once(
    base: dict[str, Any], answers: dict[str, Any], marks: list[str]
) -> None:
    judgement = judged(base | answers, [finding(what) for what in marks])
    assert judgement.outcome == "emergency"
    assert judgement.referral == AT_ONCE


@pytest.mark.parametrize("place", [None, "us", "uk"])
@pytest.mark.parametrize(
    ("answers", "marks"), [row[1:] for row in ACTIVE], ids=[row[0] for row in ACTIVE]
)
def test_any_other_active_problem_goes_to_the_foot_team_within_a_working_day(
    answers: dict[str, Any], marks: list[str], place: str | None
) -> None:
    judgement = judged(DIABETIC | answers, [finding(what) for what in marks], place=place)
    assert judgement.outcome == "refer_first"
    assert judgement.referral is not None
    assert judgement.referral.refer_to == "foot_team"
    assert judgement.referral.within in FASTER_THAN_A_WORKING_DAY


def test_the_nice_clock_itself() -> None:
    # Published by a secondary source: 1 working day, when nothing faster fires.
    judgement = judged(DIABETIC | {"open_sore": True})
    assert judgement.referral == Referral("refer_first", "foot_team", "one_working_day")
    assert "nice_active" in fired(judgement)
    assert "nice_limb_threatening" in fired(judged(DIABETIC | {"black_tissue": True}))
    assert "uk_active_foot_problem" in fired(judged(DIABETIC | {"open_sore": True}, place="uk"))


@pytest.mark.parametrize("words", ["gout_now", "calf_sore"])
def test_a_gout_or_clot_label_does_not_close_the_question_of_a_charcot_foot(words: str) -> None:
    # About 1 in 4 acute Charcot feet is first called something else: review in American Family
    # Physician (published).
    judgement = judged(DIABETIC | {words: True, "hot_swollen_foot": True})
    assert "hot_swollen_foot_charcot" in fired(judgement)
    assert judgement.referral == Referral("refer_first", "foot_team", "same_day")


@pytest.mark.parametrize(("answers", "outcome", "within"), RED_FLAGS, ids=str)
def test_red_flags_of_any_client(answers: dict[str, Any], outcome: str, within: str) -> None:
    judgement = judged(WELL | answers)
    assert judgement.outcome == outcome
    assert judgement.referral is not None
    assert judgement.referral.within == within


@pytest.mark.parametrize("flag", ["black_tissue", "spreading_infection", "sudden_cold_leg",
                                  "chest_or_breath", "unwell_today", "hot_swollen_foot",
                                  "rest_pain", "pale_cold_foot", "open_sore", "infection_signs",
                                  "calf_sore", "calf_one_sided"])  # fmt: skip
def test_a_red_flag_that_nobody_can_rule_out_is_referred(flag: str) -> None:
    # House rule: not knowing is never a "no".
    assert judged(WELL | {flag: "dont_know"}).outcome == "refer_first"
    unasked = judged({key: value for key, value in WELL.items() if key != flag})
    assert unasked.held
    assert flag in unasked.to_ask
