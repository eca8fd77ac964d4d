"""Where a client lives: on the card, sealed, and to whom it is told."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.people.models import Client, Facility
from tests.factories import client_args, ident
from tests.sync.phone_model import fresh
from tests.world import Hand, World

DOOR = {"lat": 51.507412, "lon": -0.127811, "source": "device", "accuracy_m": 8}


def put(hand: Hand, client: str, position: Any) -> tuple[str, str | None] | None:
    changes = {"position": position}
    sent = {"client": client, "seen": 10_000, "changes": changes}
    refusal = hand.send("amend_client", sent).refusal
    return (refusal.code, refusal.field) if refusal else None


def told(hand: Hand, kind: str, row: str) -> Any:
    return fresh(hand).of(kind)[UUID(row)].get("position", "not told")


def test_it_comes_back_as_it_was_told_and_can_be_taken_away(world: World) -> None:
    assert told(world.technician, "client", world.client) is None
    assert put(world.technician, world.client, DOOR) is None
    assert told(world.owner, "client", world.client) == DOOR
    assert put(world.owner, world.client, None) is None
    assert told(world.technician, "client", world.client) is None


def test_a_tenth_of_a_metre_is_the_finest(world: World) -> None:
    put(world.technician, world.client, DOOR | {"lat": 51.50741249, "lon": -0.12781151})
    assert told(world.owner, "client", world.client) == DOOR | {"lon": -0.127812}


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"lat": 90.1}, "lat"),
        ({"lon": -180.5}, "lon"),
        ({"lat": "north"}, "lat"),
        ({"lat": None}, "lat"),
        ({"source": "guess"}, "source"),
        ({"accuracy_m": -1}, "accuracy_m"),
        ({"street": "2 Heron Row"}, "street"),
    ],
)
def test_what_is_no_position_names_its_field(
    world: World, wrong: dict[str, Any], field: str
) -> None:
    refused = put(world.technician, world.client, DOOR | wrong)
    assert refused is not None and refused[1] == f"changes.position.{field}"
    assert Client.objects.get(pk=world.client).position is None


def test_a_coordinator_neither_tells_nor_is_told_where_a_client_is(world: World) -> None:
    assert put(world.coordinator, world.resident, DOOR) is not None
    assert put(world.technician, world.resident, DOOR) is None
    assert told(world.coordinator, "client", world.resident) == "not told"


def test_a_facility_has_one_that_all_of_its_people_see(world: World) -> None:
    house = ident()
    card = {"facility": house, "name": "Invented House", "position": DOOR}
    world.owner.do("register_facility", card)
    assert Facility.objects.get(pk=house).position == DOOR
    for hand in (world.owner, world.coordinator):
        assert told(hand, "facility", house) == DOOR
    change = {"facility": house, "seen": 10_000, "changes": {"position": None}}
    world.owner.do("amend_facility", change)
    assert told(world.owner, "facility", house) is None


@pytest.mark.parametrize(
    ("stays", "goes", "kept"),
    [
        ({"address": "2 Heron Row"}, {"address": "2 Heron Row", "position": DOOR}, DOOR),
        ({"address": "2 Heron Row"}, {"address": "9 Mill Turning", "position": DOOR}, None),
        ({"address": ""}, {"address": "2 Heron Row", "position": DOOR}, DOOR),
        (
            {"address": "2 Heron Row", "position": DOOR | {"accuracy_m": 3}},
            {"address": "2 Heron Row", "position": DOOR},
            DOOR | {"accuracy_m": 3},
        ),
    ],
)
def test_of_two_cards_that_become_one_it_goes_with_its_address(
    world: World, stays: dict[str, Any], goes: dict[str, Any], kept: Any
) -> None:
    first, second = client_args(**stays), client_args(**goes)
    for card in (first, second):
        world.owner.do("register_client", card)
    world.owner.do("merge_clients", {"stays": first["client"], "goes": second["client"]})
    assert told(world.owner, "client", first["client"]) == kept
