"""The door list and the handover sheet: who gets them, and what is and is not on them. Check: our
own rule (decision 0196)."""

from typing import Any

import pytest

from tests.documents.papers import asked_for, words_of
from tests.factories import REFERRED, booking_args, ident
from tests.schedule.test_rounds import moves_out
from tests.world import World

pytestmark = pytest.mark.django_db


@pytest.fixture
def walked(world: World) -> dict[str, Any]:
    """Three stops: one seen, one asleep, one open. The one who was seen is referred as well."""
    hand, house = world.technician, world.facility
    seen, asleep = world.resident, hand.register(facility=house, room="9", name="Asleep Invented")
    open_ = hand.register(facility=house, room="12", name="Open Invented")
    visits = [
        booking_args(client=one, staff=hand.id, starts_at=hand.stamp(minutes=30 * place))
        | {"minutes": 30}
        for place, one in enumerate((seen, asleep, open_))
    ]
    args = {"round": ident(), "facility": house, "day": hand.day(), "visits": visits}
    world.coordinator.do("plan_round", {**args, "note": "By the side door"})
    told = {"booking": visits[1]["booking"], "code": "asleep", "reason": "Snoring secret"}
    hand.do("record_not_seen", told)
    start = hand.ready(seen, booking=visits[0]["booking"])
    hand.do("start_visit", start)
    hand.do("complete_visit", hand.done(start, weeks_until_next=8))
    hand.later(minutes=1).screen(seen, REFERRED)
    later = booking_args(client=asleep, staff=hand.id, starts_at=hand.stamp(days=42))
    world.coordinator.now = hand.now
    following = {"round": ident(), "facility": house, "day": hand.day(days=42)}
    world.coordinator.do("plan_round", {**following, "visits": [later]})
    return args


@pytest.mark.parametrize("who", ["owner", "technician", "coordinator"])
def test_who_has_the_house_gets_both(world: World, walked: dict[str, Any], who: str) -> None:
    for name in ("door_list", "handover_sheet"):
        answer = asked_for(world.hands[who], walked["round"], name)
        assert answer.status_code == 200
        assert answer.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("who", ["colleague", "stranger"])
def test_others_are_told_there_is_none(world: World, walked: dict[str, Any], who: str) -> None:
    for name in ("door_list", "handover_sheet"):
        assert asked_for(world.hands[who], walked["round"], name).status_code == 404


def test_the_door_list_says_who_is_where_when_and_with_whom(
    world: World, walked: dict[str, Any]
) -> None:
    words = words_of(asked_for(world.coordinator, walked["round"], "door_list").content)
    for word in ("By the side door", "Asleep Invented", "Open Invented", "9", "30 min"):
        assert word in words


def test_the_handover_sheet_says_what_to_do_next_and_nothing_of_health(
    world: World, walked: dict[str, Any]
) -> None:
    words = words_of(asked_for(world.coordinator, walked["round"], "handover_sheet").content)
    for word in ("Not seen: 1", "Book again, for another time of day", "Seen: 1", "Open Invented"):
        assert word in words
    for word in ("Snoring secret", "refer", "clinician", "weeks", "consent"):
        assert word not in words.lower()


def test_nobody_is_on_it_whom_the_reader_no_longer_has(
    world: World, walked: dict[str, Any]
) -> None:
    """Neither where they live now nor when they are visited there is the old house's to know."""
    asleep = walked["visits"][1]["client"]
    moves_out(world, asleep)
    world.owner.do("amend_client", {"client": asleep, "seen": 20_000, "changes": {"room": "77"}})
    for name in ("door_list", "handover_sheet"):
        words = words_of(asked_for(world.coordinator, walked["round"], name).content)
        assert "Open Invented" in words
        for word in ("Asleep Invented", "77"):
            assert word not in words
        owners = words_of(asked_for(world.owner, walked["round"], name).content)
        assert "Asleep Invented" in owners
