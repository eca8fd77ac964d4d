"""Solutions mixed as published, from the vectors that the phone runs as well, and beside `pint`.

Sources: CDC 2008 (1:100 of 5.25 to 6.15 %: published, read in a secondary source; 1:10 of 5.25 %:
published; of 6.15 %: from memory), WHO 2014 Annex G (published), WAC 296-823-14055 (published),
16 Tex. Admin. Code 83.100, 2014 text (published), a state board's page for 1 part to 10 of water
(published). What is not in one of them is computed, C1 V1 = C2 V2.
"""

from typing import Any, Literal

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from heelwright.kit.dilution import (
    CannotMix,
    Ratio,
    Recipe,
    Strength,
    comes_to_ppm,
    ppm,
    recipe_by,
    recipe_for,
    share_of,
)
from tests.parity.vectors import read

VECTORS = read("dilution.json")
UNITS: Any = pint.UnitRegistry()
NAN = float("nan")
BLEACH = Strength(5.25, "percent")  # household bleach, CDC 2008
QUART_ML, GALLON_ML = 946, 3785.411784

percents = st.floats(min_value=0.01, max_value=100)
volumes = st.floats(min_value=1, max_value=100_000)
shares = st.floats(min_value=0.0001, max_value=1)
readings: st.SearchStrategy[Literal["in_total", "added"]] = st.sampled_from(["in_total", "added"])


def percent(value: float | None) -> Strength:
    return Strength(NAN if value is None else value, "percent")


@pytest.mark.parametrize("row", VECTORS["recipes"], ids=str)
def test_the_table_of_recipes_and_back(row: dict[str, float]) -> None:
    target = Strength(row["target_ppm"], "ppm")
    mixed = recipe_for(percent(row["percent"]), target, row["final_ml"])
    assert mixed.stock_ml == pytest.approx(row["stock_ml"], abs=0.005)
    assert mixed.water_ml == pytest.approx(row["water_ml"], abs=0.005)
    # The rounded volumes of the table come to the target as well.
    held = comes_to_ppm(percent(row["percent"]), row["stock_ml"], row["water_ml"])
    assert held == pytest.approx(row["target_ppm"], rel=0.001)


@pytest.mark.parametrize("row", VECTORS["ratios"], ids=str)
def test_what_a_ratio_comes_to_in_each_reading(row: dict[str, Any]) -> None:
    mixed = recipe_by(Ratio(1, row["to"], row["reading"]), 1000)
    held = comes_to_ppm(percent(row["percent"]), mixed.stock_ml, mixed.water_ml)
    assert held == pytest.approx(row["ppm"], abs=0.5)


def test_one_to_ten_is_weaker_where_the_parts_are_added() -> None:
    assert share_of(Ratio(1, 10, "in_total")) == 1 / 10
    assert share_of(Ratio(1, 10, "added")) == 1 / 11


def test_who_reads_one_to_a_hundred_as_1_and_99() -> None:
    # WHO 2014 Annex G (published); 5 % is 50,000 ppm, 1:100 of it 500 ppm.
    assert share_of(Ratio(1, 99, "added")) == share_of(Ratio(1, 100, "in_total"))
    assert ppm(Strength(5, "percent")) == 50_000
    assert recipe_by(Ratio(1, 100, "in_total"), 100) == Recipe(1, 99)


@pytest.mark.parametrize(
    ("to", "ml", "within"),
    [
        (100, 10, 0.06),  # WAC 296-823-14055: 10 mL in a container of 946 mL
        (10, 79 + 15, 0.01),  # 79 and 15 mL in one
    ],
)
def test_washington_measures_parts_in_total(to: float, ml: float, within: float) -> None:
    in_total = recipe_by(Ratio(1, to, "in_total"), QUART_ML)
    added = recipe_by(Ratio(1, to, "added"), QUART_ML)
    assert in_total.stock_ml == pytest.approx(ml, rel=within)
    assert abs(in_total.stock_ml - ml) < abs(added.stock_ml - ml)


@pytest.mark.parametrize("row", VECTORS["spoons"], ids=lambda row: row["recipe"])
def test_texas_measures_with_spoons(row: dict[str, float]) -> None:
    held = comes_to_ppm(BLEACH, row["stock_ml"], row["water_ml"])
    assert held == pytest.approx(row["ppm"], abs=0.5)


@pytest.mark.parametrize(
    ("recipe", "spoons", "least", "most"),
    [
        (0, "2 teaspoon", 100, 200),  # 16 TAC 83.100: low level, 100 to 200 ppm
        (1, "1/3 cup", 1_000, 1_100),  # high level, 1,000 ppm
        (2, "1.75 cup", 5_000, 5_200),  # blood, 5,000 ppm
    ],
)
def test_texas_reaches_the_strengths_that_it_names(
    recipe: int, spoons: str, least: float, most: float
) -> None:
    row = VECTORS["spoons"][recipe]
    assert row["stock_ml"] == pytest.approx(UNITS(spoons).to("mL").magnitude)
    assert row["water_ml"] == pytest.approx(UNITS("1 gallon").to("mL").magnitude)
    assert least <= comes_to_ppm(BLEACH, row["stock_ml"], row["water_ml"]) <= most


@pytest.mark.parametrize("row", VECTORS["undiluted"], ids=str)
def test_as_strong_as_the_product_takes_no_water(row: dict[str, float]) -> None:
    target = Strength(row["target_ppm"], "ppm")
    mixed = recipe_for(percent(row["percent"]), target, row["final_ml"])
    assert mixed == Recipe(row["final_ml"], 0)


@pytest.mark.parametrize("row", VECTORS["refused"], ids=str)
def test_what_cannot_be_mixed_is_named_with_its_remedy(row: dict[str, Any]) -> None:
    held: dict[str, Any] = {key: NAN if value is None else value for key, value in row.items()}
    with pytest.raises(CannotMix) as refused:
        if row["does"] == "recipe":
            recipe_for(percent(held["stock"]), percent(held["target"]), held["final_ml"])
        elif row["does"] == "ratio":
            recipe_by(Ratio(held["parts"], held["to"], held["reading"]), 1000)
        else:
            comes_to_ppm(percent(held["stock"]), held["stock_ml"], held["water_ml"])
    assert (refused.value.field, refused.value.problem) == (row["field"], row["problem"])
    assert str(refused.value).startswith(f"{row['field']} ")
    assert str(refused.value).endswith(".")


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), NAN])
def test_infinity_is_no_strength_and_no_volume(value: float) -> None:
    weak = Strength(1, "ppm")
    for attempt in (
        lambda: recipe_for(Strength(value, "ppm"), weak, 1),
        lambda: recipe_for(BLEACH, weak, value),
        lambda: recipe_by(Ratio(1, value, "added"), 1),
        lambda: comes_to_ppm(BLEACH, value, 1),
    ):
        with pytest.raises(CannotMix) as refused:
            attempt()
        assert refused.value.problem == "not_a_number"


@given(percent=percents, share=shares, final_ml=volumes)
def test_there_and_back_and_nothing_is_lost(percent: float, share: float, final_ml: float) -> None:
    stock = Strength(percent, "percent")
    target = Strength(ppm(stock) * share, "ppm")
    mixed = recipe_for(stock, target, final_ml)
    assert mixed.water_ml >= 0
    assert mixed.stock_ml + mixed.water_ml == pytest.approx(final_ml)
    held = comes_to_ppm(stock, mixed.stock_ml, mixed.water_ml)
    assert held == pytest.approx(target.value)


@given(percent=percents, share=shares, final_ml=volumes)
def test_pint_comes_to_the_same(percent: float, share: float, final_ml: float) -> None:
    """The units and their sums are another's, of the formula only that the product stays."""
    stock = UNITS.Quantity(percent, "percent")
    target = (stock * share).to("ppm")
    volume = (target * UNITS.Quantity(final_ml, "mL") / stock).to("mL")
    mixed = recipe_for(Strength(percent, "percent"), Strength(target.magnitude, "ppm"), final_ml)
    assert mixed.stock_ml == pytest.approx(volume.magnitude)


@given(to=st.floats(min_value=1, max_value=10_000), final_ml=volumes)
def test_parts_added_are_always_weaker_and_one_more_in_total(to: float, final_ml: float) -> None:
    added = recipe_by(Ratio(1, to, "added"), final_ml)
    assert added.stock_ml < recipe_by(Ratio(1, to, "in_total"), final_ml).stock_ml
    one_more = recipe_by(Ratio(1, to + 1, "in_total"), final_ml)
    assert added.stock_ml == pytest.approx(one_more.stock_ml)


@given(percent=percents, parts=st.floats(1, 10), to=st.floats(10, 1_000), reading=readings)
def test_a_ratio_never_makes_it_stronger(
    percent: float, parts: float, to: float, reading: Literal["in_total", "added"]
) -> None:
    mixed = recipe_by(Ratio(parts, to, reading), 1000)
    stock = Strength(percent, "percent")
    assert comes_to_ppm(stock, mixed.stock_ml, mixed.water_ml) <= ppm(stock) * (1 + 1e-9)
