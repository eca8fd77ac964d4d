"""Which feet there were to look at, and what the light touch on six toes comes to.

The twin is touch.ts.
"""

from collections.abc import Mapping, Sequence
from typing import Any

FEET = ("left", "right")
SEEN_QUESTIONS = ("left_foot_seen", "right_foot_seen")
ABSENT = ("no_foot", "no_leg")
NOT_SHOWN = "not_shown"
TOE_GONE = "toe_gone"  # a finding on the map, at the place of that toe
# Ipswich touch test: tips of the first, third and fifth toes of both feet.
# Rayman et al., Diabetes Care 2011;34:1517 (published).
TOUCH_SITES = tuple(f"{foot}_{toe}" for foot in FEET for toe in (1, 3, 5))
TOUCH_STATES = ("felt", "not_felt", "no_toe")
TOUCH_POSITIVE = 2  # of 6 sites not felt; same paper

Answers = Mapping[str, Any]
Findings = Sequence[Mapping[str, Any]]


def looked(answers: Answers) -> bool:
    """Whether all that there was to see was seen: a foot at least, or no foot is there at all."""
    seen = [answers.get(question) for question in SEEN_QUESTIONS]
    settled = all(one in ("seen", *ABSENT, NOT_SHOWN) for one in seen)
    return settled and ("seen" in seen or NOT_SHOWN not in seen)


def derive_touch(answers: Answers, findings: Findings) -> dict[str, int | bool | None]:
    """What the toes are known to feel; None where it is not known yet.

    `touch_positive` tells of the sites that were touched, `touch_untested` whether any was left
    out. With fewer than six sites to touch, one not felt is enough: our own careful reading.
    """
    answer = answers.get("touch_test")
    gone = any(f["what"] == TOE_GONE for f in findings) or _says_no_toe(answer)
    no_toe_gone = None if answer is None or not looked(answers) else False
    toes: dict[str, int | bool | None] = {"any_toe_gone": True if gone else no_toe_gone}
    if not isinstance(answer, list):
        tried = None if answer is None else False
        return toes | {"touch_positive": tried, "touch_untested": None if answer is None else True}
    return toes | _counted(answers, _states(answers, findings))


def _says_no_toe(answer: Any) -> bool:
    return isinstance(answer, list) and any(str(entry).endswith(":no_toe") for entry in answer)


def _states(answers: Answers, findings: Findings) -> dict[str, str]:
    """By site. A toe that is not there, or was not shown, can't count as one that felt it."""
    states = dict(str(entry).split(":") for entry in answers["touch_test"])
    toes = {f"{f['foot']}_{f['region'].removeprefix('toe_')}" for f in findings
            if f["what"] == TOE_GONE}  # fmt: skip
    for site in TOUCH_SITES:
        foot = answers.get(f"{site.split('_')[0]}_foot_seen")
        if states.get(site) == "not_felt":
            continue
        if foot in ABSENT or site in toes:
            states[site] = "no_toe"
        elif foot == NOT_SHOWN and states.get(site) == "felt":
            del states[site]
    return states


def _counted(answers: Answers, states: Mapping[str, str]) -> dict[str, int | bool | None]:
    not_felt = sum(state == "not_felt" for state in states.values())
    absent = sum(state == "no_toe" for state in states.values())
    tested = len(states) == len(TOUCH_SITES) and absent < len(TOUCH_SITES)
    # Until then a site may turn out to be on a foot that is not there, or was not shown.
    known_feet = all(question in answers for question in SEEN_QUESTIONS)
    fewer = absent > 0 or any(answers.get(question) == NOT_SHOWN for question in SEEN_QUESTIONS)
    positive = not_felt >= TOUCH_POSITIVE or (fewer and not_felt > 0)
    return {
        "touch_sites_not_felt": not_felt if known_feet and tested else None,
        "touch_positive": True if positive else False if known_feet else None,
        "touch_reduced": positive if positive or (known_feet and tested) else None,
        "touch_untested": not tested if known_feet else None,
    }
