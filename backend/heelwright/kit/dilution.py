"""How much of a product and how much water make a solution: C1 V1 = C2 V2, and back again.

Answers for the arithmetic only. Which strength is right for what, and how long it must stay wet,
stands on the product's label. The twin is pwa/src/domain/kit/dilution.ts; both run
tests/parity/dilution.json.
"""

import math
from dataclasses import dataclass
from typing import Literal

# 1 % is 10,000 ppm, weight by volume, of what the label gives the strength of.
PPM_IN = {"ppm": 1.0, "percent": 10_000.0}
MOST_PPM = 1_000_000
# What the last places of a float may add to a strength that is equal.
ROUNDING = 1e-9

Problem = Literal["not_a_number", "not_positive", "negative", "above_all", "above_stock"]

REMEDIES: dict[Problem, str] = {
    "not_a_number": "is not a number. Write it in digits.",
    "not_positive": "must be more than 0.",
    "negative": "can't be less than 0.",
    "above_all": "is more than the whole. Look at the unit, or at the parts again.",
    "above_stock": "is stronger than the product. Aim for less, or take a stronger product.",
}


class CannotMix(ValueError):
    """Names the field and the remedy."""

    def __init__(self, field: str, problem: Problem) -> None:
        super().__init__(f"{field} {REMEDIES[problem]}")
        self.field = field
        self.problem = problem


@dataclass(frozen=True)
class Strength:
    value: float
    unit: Literal["ppm", "percent"]


@dataclass(frozen=True)
class Ratio:
    """1:10 is read in two ways: `in_total`, 1 part in 10 parts of solution; `added`, 1 part and 10
    parts of water, 11 in all."""

    parts: float
    to: float
    reading: Literal["in_total", "added"]


@dataclass(frozen=True)
class Recipe:
    stock_ml: float
    water_ml: float


def recipe_for(stock: Strength, target: Strength, final_ml: float) -> Recipe:
    share = ppm(target, "target") / ppm(stock, "stock")
    if share > 1 + ROUNDING:
        raise CannotMix("target", "above_stock")
    return _recipe(min(share, 1.0), final_ml)


def recipe_by(ratio: Ratio, final_ml: float) -> Recipe:
    return _recipe(share_of(ratio), final_ml)


def comes_to_ppm(stock: Strength, stock_ml: float, water_ml: float) -> float:
    """What a recipe comes to."""
    strength = ppm(stock, "stock")
    _check_positive("stock_ml", stock_ml)
    _check_number("water_ml", water_ml)
    if water_ml < 0:
        raise CannotMix("water_ml", "negative")
    return strength * (stock_ml / (stock_ml + water_ml))


def ppm(strength: Strength, field: str = "strength") -> float:
    _check_positive(field, strength.value)
    held = strength.value * PPM_IN[strength.unit]
    if held > MOST_PPM:
        raise CannotMix(field, "above_all")
    return held


def share_of(ratio: Ratio) -> float:
    """The part of the solution that is product, by the reading of the ratio."""
    _check_positive("parts", ratio.parts)
    _check_positive("to", ratio.to)
    whole = ratio.to if ratio.reading == "in_total" else ratio.parts + ratio.to
    if ratio.parts > whole:
        raise CannotMix("parts", "above_all")
    return ratio.parts / whole


def _recipe(share: float, final_ml: float) -> Recipe:
    _check_positive("final_ml", final_ml)
    stock_ml = final_ml * share
    return Recipe(stock_ml, final_ml - stock_ml)


def _check_positive(field: str, value: float) -> None:
    _check_number(field, value)
    if value <= 0:
        raise CannotMix(field, "not_positive")


def _check_number(field: str, value: float) -> None:
    if not math.isfinite(value):
        raise CannotMix(field, "not_a_number")
