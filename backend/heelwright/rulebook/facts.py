"""Facts worked out from findings, answers, age and settings, so that rules can name them.

A fact that cannot be known yet is left out, never false: "no crack was found" means something
only of feet that were looked at. Of a foot that is not shown nothing is known: rules by its own
answer leave it alone. The twin is facts.ts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from heelwright.rulebook.pulses import pulse_missing
from heelwright.rulebook.schema import FactType, Settings
from heelwright.rulebook.touch import SEEN_QUESTIONS, TOE_GONE, derive_touch, looked

# Which kinds of finding make which fact true.
FOUND: dict[str, tuple[str, ...]] = {
    "any_crack": ("crack",),
    "any_ulcer": ("ulcer",),
    "any_wound": ("wound", "blister"),
    "any_black_tissue": ("black_tissue",),
    "any_swelling": ("swelling",),
    "any_colour_change": ("colour",),
    "any_warmth": ("warmth",),
    "any_redness": ("redness",),
    "any_discharge": ("discharge",),
    "any_maceration": ("maceration",),
    "any_callus": ("callus",),
    "any_corn": ("corn",),
    "any_dryness": ("dryness",),
    "any_nail_thick": ("nail_thick",),
    "any_nail_fungus_signs": ("nail_fungus_signs",),
    "any_nail_ingrown": ("nail_ingrown",),
    "any_rash": ("rash",),
    "any_lump": ("lump",),
}
FINDING_KINDS = frozenset([*(kind for kinds in FOUND.values() for kind in kinds), TOE_GONE])


@dataclass(frozen=True)
class Known:
    """What a book must declare for a fact that this code works out."""

    type: FactType
    from_: tuple[str, ...]


_LOOKED = (*SEEN_QUESTIONS, "findings")
_TOUCHED = (*SEEN_QUESTIONS, "findings", "touch_test")
FACTS: dict[str, Known] = {
    "age": Known("int", ("age",)),
    "age_65_or_over": Known("bool", ("age",)),
    **{fact: Known("bool", _LOOKED) for fact in FOUND},
    "crack_open": Known("bool", _LOOKED),
    "crack_bleeding": Known("bool", _LOOKED),
    "crack_oozing": Known("bool", _LOOKED),
    "deepest_crack_mm": Known("number", _LOOKED),
    "technician_checks_pulses": Known("bool", ("settings",)),
    "pulse_missing": Known("bool", ("settings", *SEEN_QUESTIONS, "pulse_left", "pulse_right")),
    "any_toe_gone": Known("bool", _TOUCHED),
    "touch_sites_not_felt": Known("int", _TOUCHED),
    "touch_positive": Known("bool", _TOUCHED),
    "touch_reduced": Known("bool", _TOUCHED),
    "touch_untested": Known("bool", _TOUCHED),
}


def derive(
    answers: Mapping[str, Any],
    findings: Sequence[Mapping[str, Any]],
    age: int | None,
    settings: Settings,
) -> dict[str, bool | int | float]:
    cracks = [finding for finding in findings if finding["what"] == "crack"]
    seen = looked(answers)
    facts: dict[str, bool | int | float | None] = {
        "age": age,
        "age_65_or_over": None if age is None else age >= settings.elderly_age,
        "technician_checks_pulses": settings.technician_checks_pulses,
        "pulse_missing": pulse_missing(answers, settings.technician_checks_pulses),
        "crack_open": _any((_is_open(crack) for crack in cracks), seen),
        "crack_bleeding": _any((crack.get("bleeding") for crack in cracks), seen),
        "crack_oozing": _any((crack.get("oozing") for crack in cracks), seen),
        "deepest_crack_mm": _deepest(cracks, seen),
        **derive_touch(answers, findings),
    }
    for fact, kinds in FOUND.items():
        facts[fact] = _any((finding["what"] in kinds for finding in findings), seen)
    return {fact: value for fact, value in facts.items() if value is not None}


def _any(seen: Iterable[bool | None], looked: bool) -> bool | None:
    """Three-valued "or": one yes decides; a "no" needs every answer and both feet looked at."""
    values = list(seen)
    if True in values:
        return True
    return None if None in values or not looked else False


def _is_open(crack: Mapping[str, Any]) -> bool | None:
    state = crack.get("state")
    return None if state is None else state == "open"


def _deepest(cracks: Sequence[Mapping[str, Any]], looked: bool) -> float | None:
    depths = [crack.get("depth_mm") for crack in cracks]
    if not looked or None in depths:
        return None
    return max((float(depth) for depth in depths if depth is not None), default=0.0)
