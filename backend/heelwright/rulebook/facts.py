"""Facts worked out from findings, answers and age, so that rules can name them.

A fact that cannot be known yet is left out, never false: the feet must have been looked at,
or be absent, before "no crack was found" means anything. The twin is facts.ts.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from heelwright.rulebook.schema import FactType

FEET = ("left", "right")
SEEN_QUESTIONS = ("left_foot_seen", "right_foot_seen")
# Ipswich touch test: tips of the first, third and fifth toes of both feet.
# Rayman et al., Diabetes Care 2011;34:1517 (published).
TOUCH_SITES = tuple(f"{foot}_{toe}" for foot in FEET for toe in (1, 3, 5))
TOUCH_STATES = ("felt", "not_felt", "no_toe")
TOUCH_POSITIVE = 2  # of 6 sites not felt; same paper

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
FINDING_KINDS = frozenset(kind for kinds in FOUND.values() for kind in kinds)


@dataclass(frozen=True)
class Known:
    """What a book must declare for a fact that this code works out."""

    type: FactType
    from_: tuple[str, ...]


_LOOKED = (*SEEN_QUESTIONS, "findings")
_TOUCHED = (*SEEN_QUESTIONS, "touch_test")
FACTS: dict[str, Known] = {
    "age": Known("int", ("age",)),
    "age_65_or_over": Known("bool", ("age",)),
    **{fact: Known("bool", _LOOKED) for fact in FOUND},
    "crack_open": Known("bool", _LOOKED),
    "crack_bleeding": Known("bool", _LOOKED),
    "crack_oozing": Known("bool", _LOOKED),
    "deepest_crack_mm": Known("number", _LOOKED),
    "touch_sites_not_felt": Known("int", _TOUCHED),
    "touch_reduced": Known("bool", _TOUCHED),
    "touch_untested": Known("bool", _TOUCHED),
}


def derive(
    answers: Mapping[str, Any],
    findings: Sequence[Mapping[str, Any]],
    age: int | None,
    elderly_age: int,
) -> dict[str, bool | int | float]:
    cracks = [finding for finding in findings if finding["what"] == "crack"]
    looked = all(answers.get(question) in ("seen", "no_foot") for question in SEEN_QUESTIONS)
    facts: dict[str, bool | int | float | None] = {
        "age": age,
        "age_65_or_over": None if age is None else age >= elderly_age,
        "crack_open": _any((_is_open(crack) for crack in cracks), looked),
        "crack_bleeding": _any((crack.get("bleeding") for crack in cracks), looked),
        "crack_oozing": _any((crack.get("oozing") for crack in cracks), looked),
        "deepest_crack_mm": _deepest(cracks, looked),
        **_touch(answers),
    }
    for fact, kinds in FOUND.items():
        facts[fact] = _any((finding["what"] in kinds for finding in findings), looked)
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


def _touch(answers: Mapping[str, Any]) -> dict[str, int | bool | None]:
    """With fewer than six sites to touch, one not felt is enough: our own careful reading."""
    answer = answers.get("touch_test")
    if not isinstance(answer, list):
        return {"touch_untested": None if answer is None else True}
    gone = [foot for foot in FEET if answers.get(f"{foot}_foot_seen") == "no_foot"]
    states = {site: "no_toe" for site in TOUCH_SITES if site.startswith(tuple(gone))}
    states |= dict(str(entry).split(":") for entry in answer)
    not_felt = sum(state == "not_felt" for state in states.values())
    absent = sum(state == "no_toe" for state in states.values())
    all_sites = len(states) == len(TOUCH_SITES)
    counts = all_sites and absent < len(TOUCH_SITES)
    # A site left out may still turn out to be on a foot that is not there.
    settled = all_sites or all(question in answers for question in SEEN_QUESTIONS)
    return {
        "touch_sites_not_felt": not_felt if counts else None,
        "touch_reduced": _is_reduced(not_felt, absent, counts),
        "touch_untested": not all_sites if settled else None,
    }


def _is_reduced(not_felt: int, absent: int, counts: bool) -> bool | None:
    if not_felt >= TOUCH_POSITIVE:
        return True
    return absent > 0 and not_felt > 0 if counts else None
