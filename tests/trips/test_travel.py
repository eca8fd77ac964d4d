"""Vehicles and days of travel: who may tell of them, who sees them, and what a correction does.

What a log must hold is common practice here; its sources stand with the log's own tests.
"""

from typing import Any

import pytest

from tests.factories import ident, travel_args, vehicle_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def rows_of(hand: Hand, kind: str) -> dict[str, Any]:
    return {str(id_): row for id_, row in fresh(hand).of(kind).items()}


def car(hand: Hand, **more: object) -> str:
    args = vehicle_args(**more)
    hand.do("register_vehicle", args)
    return str(args["vehicle"])


def told(hand: Hand, vehicle: str, **more: object) -> str:
    args = travel_args(**{"vehicle": vehicle, "day": hand.day(), **more})
    hand.do("record_travel", args)
    return str(args["travel"])


def test_a_technician_and_the_owner_see_it_and_nobody_else(world: World) -> None:
    vehicle = car(world.technician)
    day = told(world.technician, vehicle)
    for hand in (world.technician, world.owner):
        assert rows_of(hand, "vehicle")[vehicle]["name"] == "Blue estate"
        assert rows_of(hand, "travel_day")[day]["odometer_end"] == 412_425
    for hand in (world.colleague, world.coordinator, world.stranger):
        assert not rows_of(hand, "vehicle")
        assert not rows_of(hand, "travel_day")


def test_nobody_tells_of_another_ones_vehicle(world: World) -> None:
    """Not even the owner: a log is kept by whoever drives."""
    vehicle = car(world.technician)
    for hand in (world.colleague, world.owner, world.stranger):
        assert hand.no("record_travel", travel_args(vehicle=vehicle, day=hand.day())) == "not_found"
        amended = {"vehicle": vehicle, "seen": 10_000, "name": "Mine"}
        assert hand.no("amend_vehicle", amended) == "not_found"


def test_a_correction_stands_beside_what_it_corrects(world: World) -> None:
    hand = world.technician
    vehicle = car(hand)
    first = told(hand, vehicle)
    second = told(hand, vehicle, odometer_end=412_500, replaces=[first])
    days = rows_of(hand, "travel_day")
    assert [str(one) for one in days[second]["replaces"]] == [first]
    assert days[first]["odometer_end"] == 412_425


def test_nobody_replaces_what_another_one_told(world: World) -> None:
    theirs = told(world.technician, car(world.technician))
    own = car(world.colleague)
    args = travel_args(vehicle=own, day=world.colleague.day(), replaces=[theirs])
    assert world.colleague.no("record_travel", args) == "not_found"


def test_a_day_does_not_replace_itself(world: World) -> None:
    hand = world.technician
    args = travel_args(vehicle=car(hand), day=hand.day())
    assert hand.no("record_travel", args | {"replaces": [args["travel"]]}) == "replaces_itself"


def test_no_two_days_replace_each_other(world: World) -> None:
    hand, late = world.technician, ident()
    vehicle = car(hand)
    last = told(hand, vehicle, replaces=[told(hand, vehicle, replaces=[late])])
    args = travel_args(travel=late, vehicle=vehicle, day=hand.day(), replaces=[last])
    refusal = hand.send("record_travel", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("replaces_itself", "replaces")
    hand.do("record_travel", args | {"replaces": []})


def test_an_odometer_does_not_run_back(world: World) -> None:
    hand = world.technician
    args = travel_args(vehicle=car(hand), day=hand.day(), odometer_start=10, odometer_end=9)
    refusal = hand.send("record_travel", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.remedy) == ("odometer_runs_back", "Check both readings.")


def test_a_day_ahead_is_a_slip(world: World) -> None:
    hand = world.technician
    args = travel_args(vehicle=car(hand), day=hand.day(days=3))
    refusal = hand.send("record_travel", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("date_too_late", "day")


def test_of_a_private_way_only_its_length_stays(world: World) -> None:
    hand = world.technician
    way = {"start": "Home", "end": "The sea", "purpose": "private", "words": "A swim"}
    leg = way | {"estimated_m": None, "tenths": 80, "known": "typed"}
    day = told(hand, car(hand), legs=[leg])
    [kept] = rows_of(world.owner, "travel_day")[day]["legs"]
    assert (kept["start"], kept["end"], kept["words"], kept["tenths"]) == ("", "", "", 80)
