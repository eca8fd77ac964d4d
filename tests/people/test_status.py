"""A client who died, is in hospital or moved away: on the card, and no visit is planned then."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.people.models import Client
from heelwright.people.rules import away
from heelwright.schedule.models import Booking
from tests.factories import booking_args, client_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

AWAY = ("in_hospital", "moved_away", "died")


def set_status(hand: Hand, client: str, status: str, seen: int = 10_000) -> str | None:
    changes = {"status": status, "status_since": hand.day()}
    receipt = hand.send("amend_client", {"client": client, "seen": seen, "changes": changes})
    return receipt.refusal.code if receipt.refusal else None


def card(hand: Hand, client: str) -> dict[str, Any]:
    return fresh(hand).of("client")[UUID(client)]


def test_a_card_that_says_nothing_is_an_active_clients(world: World) -> None:
    assert "status" not in client_args()
    assert card(world.owner, world.client)["status"] == "active"
    # As a card from before it was asked lies in the database.
    Client.objects.filter(pk=world.client).update(status=None)
    assert card(world.owner, world.client)["status"] == "active"
    assert not away(Client.objects.get(pk=world.client))
    world.technician.book(world.client)


@pytest.mark.parametrize("status", AWAY)
def test_who_may_say_so_and_who_sees_it(world: World, status: str) -> None:
    assert set_status(world.coordinator, world.resident, status) is None
    for hand in (world.owner, world.technician, world.coordinator):
        seen = card(hand, world.resident)
        assert (seen["status"], seen["status_since"]) == (status, world.coordinator.day())
    assert away(Client.objects.get(pk=world.resident))


def test_it_is_merged_and_clashes_as_any_field(world: World) -> None:
    seen = fresh(world.technician).rows["client", UUID(world.client)][1]
    assert set_status(world.owner, world.client, "in_hospital", seen) is None
    changes = {"client": world.client, "seen": seen, "changes": {"phone": "555 0122"}}
    world.technician.do("amend_client", changes)
    changes = {"client": world.client, "seen": seen, "changes": {"status": "died"}}
    refusal = world.technician.send("amend_client", changes).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("changed_elsewhere", "changes.status")
    assert refusal.about is not None
    assert (refusal.about.kind, str(refusal.about.id)) == ("client", world.client)
    assert card(world.owner, world.client)["status"] == "in_hospital"


@pytest.mark.parametrize(
    ("changes", "code", "field"),
    [
        ({"status": "asleep"}, "wrong_type", "changes.status"),
        ({"status": None}, "missing_field", "changes.status"),
        ({"status_since": "2999-01-01"}, "date_too_late", "changes.status_since"),
        ({"status_since": "no day"}, "wrong_type", "changes.status_since"),
    ],
)
def test_what_it_cannot_be(world: World, changes: dict[str, Any], code: str, field: str) -> None:
    args = {"client": world.client, "seen": 10_000, "changes": changes}
    refusal = world.technician.send("amend_client", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == (code, field)


def test_the_day_may_be_taken_back(world: World) -> None:
    assert set_status(world.technician, world.client, "moved_away") is None
    changes = {"client": world.client, "seen": 10_000, "changes": {"status_since": None}}
    world.technician.do("amend_client", changes)
    assert card(world.owner, world.client)["status_since"] is None


@pytest.mark.parametrize("status", AWAY)
def test_no_visit_is_planned_for_them_and_any_can_be_cancelled(world: World, status: str) -> None:
    technician = world.technician
    standing = technician.book(world.client)
    assert set_status(technician, world.client, status) is None
    args = booking_args(
        client=world.client, staff=technician.id, starts_at=technician.stamp(days=2)
    )
    refusal = technician.send("book_visit", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("client_away", "client")
    assert refusal.about is not None
    assert (refusal.about.kind, str(refusal.about.id)) == ("client", world.client)
    # What became of somebody is health data; it stays on the card.
    for word in ("hospital", "moved", "died"):
        assert word not in refusal.text + refusal.remedy
    move = {"booking": standing, "seen": 10_000, "starts_at": technician.stamp(days=3),
            "minutes": 30, "staff": technician.id}  # fmt: skip
    assert technician.no("move_booking", move) == "client_away"
    assert Booking.objects.get(pk=standing).state == "booked"
    technician.do("cancel_booking", {"booking": standing, "seen": 10_000, "reason": ""})
    assert set_status(technician, world.client, "active") is None
    technician.do("book_visit", args)
