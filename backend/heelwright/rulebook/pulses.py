"""Whether a foot pulse was felt for and not found. Asked only where the licence lets a technician.

A pulse that is felt eases nothing. The twin is pulses.ts.
"""

from collections.abc import Mapping
from typing import Any

from heelwright.rulebook.touch import ABSENT, FEET, NOT_SHOWN

Answers = Mapping[str, Any]
MISSING = ("not_felt", "dont_know")  # felt for, and not found or not sure
_NOT_TO_FEEL = (*ABSENT, NOT_SHOWN, "not_seen")


def pulse_missing(answers: Answers, checked: bool) -> bool | None:
    """None while it is still to be felt for. What is on record counts wherever it comes from."""
    if any(answers.get(f"pulse_{foot}") in MISSING for foot in FEET):
        return True
    return None if checked and any(_awaited(answers, foot) for foot in FEET) else False


def _awaited(answers: Answers, foot: str) -> bool:
    seen = answers.get(f"{foot}_foot_seen")
    return f"pulse_{foot}" not in answers and seen not in _NOT_TO_FEEL
