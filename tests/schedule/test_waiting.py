"""The waiting list on the server. Check: our own rule (decision 0192)."""

from typing import Any
from uuid import UUID

import pytest

from heelwright.schedule.models import Waiting
from tests.factories import booking_args, ident, waiting_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

TIMES = [{"weekday": 1, "starts": "10:00", "ends": "12:30"}]


def wishes(hand: Hand, client: str, **more: Any) -> dict[str, Any]:
    told = {"since": hand.stamp(), "first": hand.day(days=1), "last": hand.day(days=20)}
    return waiting_args(client=client, **told | more)


def only(hand: Hand) -> dict[str, Any]:
    (row,) = fresh(hand).of("waiting").values()
    return row


def test_an_entry_goes_to_whoever_has_the_client(world: World) -> None:
    wish = wishes(world.technician, world.client, times=TIMES, staff=world.technician.id)
    world.technician.do("wait_for_visit", wish | {"note": "Rings back after four."})
    for hand in (world.technician, world.owner):
        row = only(hand)
        assert {name: row[name] for name in ("first", "last", "times", "minutes", "staff")} == {
            name: wish[name] for name in ("first", "last", "times", "minutes", "staff")
        }
        assert (row["client"], row["state"], row["note"]) == (
            world.client,
            "waiting",
            "Rings back after four.",
        )
    assert not fresh(world.colleague).of("waiting")


def test_a_coordinator_is_not_told_the_words_and_does_not_wipe_them(world: World) -> None:
    wish = wishes(world.owner, world.resident, note="Ask the daughter first.")
    world.owner.do("wait_for_visit", wish)
    assert "note" not in only(world.coordinator)
    changed = {key: value for key, value in wish.items() if key != "note"}
    world.coordinator.do("wait_for_visit", changed | {"seen": 10_000, "minutes": 20})
    row = only(world.owner)
    assert (row["minutes"], row["note"]) == (20, "Ask the daughter first.")
    assert world.coordinator.no("wait_for_visit", wish | {"seen": 10_000}) == "field_not_allowed"


def test_the_second_of_two_who_enter_a_client_is_told_of_the_first(world: World) -> None:
    first, second = (wishes(hand, world.client) for hand in (world.owner, world.technician))
    world.owner.do("wait_for_visit", first)
    refusal = world.technician.send("wait_for_visit", second).refusal
    assert refusal is not None
    assert refusal.code == "changed_elsewhere"
    assert refusal.about is not None
    assert str(refusal.about.id) == first["waiting"]
    assert Waiting.objects.count() == 1


def test_a_change_or_an_end_over_another_one_is_refused(world: World) -> None:
    wish = wishes(world.technician, world.client)
    world.technician.do("wait_for_visit", wish)
    _, seen, _ = fresh(world.owner).rows["waiting", UUID(wish["waiting"])]
    world.technician.do("wait_for_visit", wish | {"seen": seen, "minutes": 60})
    assert world.owner.no("wait_for_visit", wish | {"seen": seen}) == "changed_elsewhere"
    end = {"waiting": wish["waiting"], "seen": seen, "code": "other"}
    assert world.owner.no("stop_waiting", end) == "changed_elsewhere"
    assert only(world.owner)["minutes"] == 60


def test_who_stopped_can_wait_again(world: World) -> None:
    wish = wishes(world.technician, world.client)
    world.technician.do("wait_for_visit", wish)
    end = {"waiting": wish["waiting"], "seen": 10_000, "code": "no_longer"}
    world.technician.do("stop_waiting", end)
    assert (only(world.owner)["state"], only(world.owner)["reason"]) == ("stopped", "no_longer")
    world.technician.do("wait_for_visit", wish | {"seen": 10_000})
    assert (only(world.owner)["state"], only(world.owner)["reason"]) == ("waiting", "")


def test_a_booking_that_is_refused_leaves_the_client_on_the_list(world: World) -> None:
    """Two phones without signal gave one freed time to two clients."""
    other = world.technician.register(name="Second Invented")
    for client in (world.client, other):
        world.technician.do("wait_for_visit", wishes(world.technician, client))
    before = fresh(world.owner).of("waiting")
    at = {"staff": world.technician.id, "starts_at": world.technician.stamp(days=2)}
    world.technician.do("book_visit", booking_args(client=world.client, **at))
    again = booking_args(client=other, **at)
    assert world.owner.no("book_visit", again) == "double_booked"
    assert fresh(world.owner).of("waiting") == before


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"last": "2026-01-01"}, "wrong_order"),
        ({"first": "2019-01-01", "last": None}, "wrong_order"),
        ({"minutes": 4}, "too_small"),
        ({"times": TIMES * 2}, "wrong_order"),
    ],
)
def test_a_slip_in_a_wish_is_named(world: World, more: dict[str, Any], code: str) -> None:
    wish = wishes(world.technician, world.client) | more
    refusal = world.technician.send("wait_for_visit", wish).refusal
    assert refusal is not None
    assert refusal.code == code
    assert refusal.remedy


def test_who_is_away_or_whose_technician_is_none_is_refused(world: World) -> None:
    wish = wishes(world.technician, world.client, staff=world.coordinator.id)
    assert world.technician.no("wait_for_visit", wish) == "not_a_technician"
    changes = {"status": "in_hospital", "status_since": world.technician.day()}
    world.technician.do(
        "amend_client", {"client": world.client, "seen": 10_000, "changes": changes}
    )
    away = wishes(world.technician, world.client)
    assert world.technician.no("wait_for_visit", away) == "client_away"
    nobody = {"waiting": ident(), "seen": 10_000, "code": "other"}
    assert world.technician.no("stop_waiting", nobody) == "not_found"
