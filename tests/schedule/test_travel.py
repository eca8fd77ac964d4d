"""Too little time for the way between two visits, and what is asked of the database for many.
Check: our own rule. How long a way takes has tests of its own, in tests/parity."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from heelwright import vault
from heelwright.commandlog.act import Act
from heelwright.declarations import Power
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.places.position import Position
from heelwright.places.rules import estimate, travel_of
from heelwright.schedule.against import nothing_against
from heelwright.schedule.models import Booking
from tests.factories import booking_args
from tests.world import Hand, World

HERE = {"lat": 51.5, "lon": -0.1, "source": "device", "accuracy_m": 8}
THERE = {**HERE, "lat": 51.55}


def placed(hand: Hand, client: str, position: dict[str, object]) -> None:
    changes = {"position": position}
    hand.do("amend_client", {"client": client, "seen": 10_000, "changes": changes})


def way_minutes(world: World) -> int:
    travel = travel_of(book_of(world.practice))
    return -(-estimate(Position(**HERE), Position(**THERE), travel).seconds // 60)


@pytest.fixture
def two(world: World) -> tuple[str, str]:
    """Two clients of the technician, some five kilometres apart."""
    technician = world.technician
    clients = (world.client, technician.register())
    for client, position in zip(clients, (HERE, THERE), strict=True):
        placed(technician, client, position)
    return clients


@pytest.mark.parametrize("side", [1, -1])
def test_the_way_needs_its_time_on_either_side(
    world: World, two: tuple[str, str], side: int
) -> None:
    technician, way = world.technician, way_minutes(world)
    assert way > 5
    technician.book(two[0], starts_at=technician.stamp(days=1))
    args = booking_args(client=two[1], staff=technician.id)
    near = technician.stamp(days=1, minutes=side * (45 + way - 1))
    enough = technician.stamp(days=1, minutes=side * (45 + way))
    assert technician.no("book_visit", {**args, "starts_at": near}) == "short_travel"
    technician.do("book_visit", {**args, "starts_at": enough})
    moved = {name: args[name] for name in ("booking", "minutes", "staff")} | {"seen": 10_000}
    technician.do("move_booking", {**moved, "starts_at": near, "meant": ["short_travel"]})


@pytest.mark.parametrize("unknown", ["a door", "colleague", "coordinator"])
def test_of_a_way_that_the_phone_cannot_know_nothing_is_said(
    world: World, two: tuple[str, str], unknown: str
) -> None:
    """A colleague has no client of the technician's but their own, a coordinator none at home."""
    technician, hand = world.technician, world.technician
    technician.book(two[0], starts_at=technician.stamp(days=1))
    other = two[1]
    if unknown == "a door":
        other = technician.register()
    if unknown == "colleague":
        hand = world.colleague
        other = hand.register()
        placed(hand, other, THERE)
    if unknown == "coordinator":
        hand, other = world.coordinator, world.resident
        position = {"position": THERE}
        args = {"facility": world.facility, "seen": 10_000, "changes": position}
        world.owner.do("amend_facility", args)
    place = "facility" if other == world.resident else "home"
    args = booking_args(client=other, staff=technician.id, place=place)
    hand.do("book_visit", {**args, "starts_at": technician.stamp(days=1, minutes=46)})


def test_a_house_is_where_its_residents_are(world: World, two: tuple[str, str]) -> None:
    technician = world.technician
    args = {"facility": world.facility, "seen": 10_000, "changes": {"position": THERE}}
    world.owner.do("amend_facility", args)
    technician.book(two[0], starts_at=technician.stamp(days=1))
    args = booking_args(client=world.resident, staff=technician.id, place="facility")
    close = {**args, "starts_at": technician.stamp(days=1, minutes=46)}
    assert technician.no("book_visit", close) == "short_travel"


def test_many_visits_take_no_more_questions_than_few(world: World) -> None:
    technician = world.technician
    clients = [technician.register(facility=world.facility) for _ in range(8)]
    for day, client in enumerate(clients, start=1):
        placed(technician, client, HERE if day % 2 else THERE)
        technician.book(client, starts_at=technician.stamp(days=day))

    def asked(count: int) -> int:
        act = Act(
            practice=world.practice,
            staff=technician.staff,
            device=technician.device,
            power=Power.PERMISSION,
            made_at=world.now,
            now=world.now,
        )
        visits = list(Booking.objects.all()[:count])
        of = Client.objects.in_bulk()
        for visit in visits:
            visit.client = of[visit.client_id]
        with vault.unit(), CaptureQueriesContext(connection) as questions:
            nothing_against(act, visits, [])
        return len(questions)

    assert asked(8) == asked(2) <= 12
