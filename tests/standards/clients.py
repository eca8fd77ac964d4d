"""Invented clients to judge: whole sets of answers, from which each test departs by a few.

Answers for the plain starting points only; what is expected of them stands in the tests.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from heelwright.rulebook import book_for
from heelwright.rulebook.judge import Judgement

Answers = dict[str, Any]
Findings = Sequence[Mapping[str, Any]]

SITES = ("left_1", "left_3", "left_5", "right_1", "right_3", "right_5")
FELT = [f"{site}:felt" for site in SITES]
NUMB = [f"{site}:not_felt" for site in SITES]

# An ordinary client of 50 with dry heels: every question answered, nothing wrong.
WELL: Answers = {
    **dict.fromkeys(
        "unwell_today chest_or_breath sudden_cold_leg calf_sore catching_illness foot_injury"
        " gout_now pregnant diabetes kidney_failure on_dialysis heart_trouble bleeding_disorder"
        " blood_thinner bruise_easily steroids_long immune_drugs cancer_treatment numb_feet"
        " poor_circulation rest_pain ulcer_before amputation allergy_urea allergy_latex"
        " allergy_other thin_skin skin_disease oxygen_or_smoke black_tissue spreading_infection"
        " infection_signs hot_swollen_foot pale_cold_foot calf_one_sided open_sore blister_seen"
        " blood_under_callus skin_fungus wart_seen between_toes_soft fragile_skin_seen"
        " changing_mole nail_fungus ingrown_infected deformity callus_pinpoint".split(),
        False,
    ),
    "recent_surgery": "none",
    "leg_swelling": "none",
    "swelling_seen": "none",
    "understands_today": True,
    "can_say_stop": True,
    "left_foot_seen": "seen",
    "right_foot_seen": "seen",
    "touch_test": FELT,
}

# The same client with diabetes that is well looked after.
DIABETIC: Answers = WELL | {
    "diabetes": True,
    "diabetes_type": "type_2",
    "diabetes_years": 8,
    "last_foot_exam": "this_year",
    "foot_exam_flow": "good",
    "charcot_before": False,
    "eye_or_kidney_trouble": False,
    "sugar_out_today": False,
    "last_foot_exam_by": "doctor_or_nurse",
    "hba1c_in": "percent",
    "hba1c_percent": 7,
    "footwear": "closed_and_fitting",
    "treats_own_skin": False,
    "sees_feet": True,
}

# A client of 80: the extra questions for 65 and over, answered well.
OLDER: Answers = {key: value for key, value in WELL.items() if key != "pregnant"} | {
    "falls": False,
    "unsteady": False,
    "mostly_seated": False,
    "who_decides": "myself",
    "skin_tears": False,
    "memory_trouble": False,
    "lives_alone": False,
    "reach_feet": True,
}


def finding(what: str, **more: Any) -> dict[str, Any]:
    """One mark on the map of the left sole; a crack is closed and dry unless told otherwise."""
    crack = {"length_mm": 12.0, "depth_mm": 1.0, "state": "closed", "bleeding": False,
             "oozing": False} if what == "crack" else {}  # fmt: skip
    return {"id": "0192f0c1-7a6b-7def-8123-456789abcdef", "foot": "left", "view": "sole",
            "region": "heel", "what": what, **crack, **more}  # fmt: skip


def judged(
    answers: Answers,
    findings: Findings = (),
    age: int | None = 50,
    place: str | None = None,
) -> Judgement:
    return book_for(place).judge(answers, findings, age)


def fired(judgement: Judgement) -> set[str]:
    return {rule.id for rule in judgement.fired}
