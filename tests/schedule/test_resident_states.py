"""What a coordinator is told of a resident before a round: days alone. Check: our own rule."""

import json
from datetime import timedelta
from typing import Any

from django.core.management import call_command

from heelwright.commandlog.models import FeedRow
from heelwright.schedule.models import ResidentState
from tests.factories import REFERRED
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import World

NOBODY_SAID = {"due_first": None, "due_last": None}


def told(phone: PhoneModel, client: str) -> list[dict[str, Any]]:
    found = [row for row in phone.of("resident_state").values() if row["client"] == client]
    return [{k: v for k, v in row.items() if k not in ("id", "client")} for row in found]


def test_consent_screen_and_the_next_visit_are_told_as_days(world: World) -> None:
    hand, resident = world.technician, world.resident
    phone = fresh(world.coordinator)
    assert not told(phone, resident)
    screen = hand.screen(resident)
    days = {"consent_until": None, "screen_until": hand.day(days=91)}
    assert told(phone.sync(), resident) == [days | NOBODY_SAID]
    start = hand.ready_ids(resident) | {"screen": screen, "check": hand.check(resident, screen)}
    hand.do("start_visit", start)
    days["consent_until"] = hand.day(days=365)
    assert told(phone.sync(), resident) == [days | NOBODY_SAID]
    hand.do("complete_visit", hand.done(start, weeks_until_next=8))
    due = {"due_first": hand.day(days=49), "due_last": hand.day(days=63)}
    assert told(phone.sync(), resident) == [days | due]
    changes = {"may_wait": True}
    hand.do("amend_client", {"client": resident, "seen": 10_000, "changes": changes})
    due["due_last"] = hand.day(days=70)
    assert told(phone.sync(), resident) == [days | due]
    assert phone.rows == fresh(world.coordinator).rows


def test_who_took_a_consent_back_has_none_and_whose_own_word_does_not_hold(world: World) -> None:
    hand, resident = world.technician, world.resident
    consent = hand.consent(resident)
    phone = fresh(world.coordinator)
    assert told(phone, resident)[0]["consent_until"] == hand.day(days=365)
    gone = {"consent": consent, "reason": "No more", "withdrawn_at": hand.later(minutes=1).stamp()}
    world.coordinator.now = hand.now
    world.coordinator.do("withdraw_consent", gone)
    assert not told(phone.sync(), resident)
    hand.later(minutes=1).consent(resident)
    changes = {"decides_for_self": False}
    hand.do("amend_client", {"client": resident, "seen": 10_000, "changes": changes})
    world.coordinator.now = hand.now
    assert not told(phone.sync(), resident)


def test_what_a_screen_says_does_not_change_what_is_told(world: World) -> None:
    hand = world.technician
    other = hand.register(facility=world.facility, room="9")
    hand.screen(world.resident)
    hand.screen(other, REFERRED)
    phone = fresh(world.coordinator)
    assert told(phone, world.resident) == told(phone, other) != []


def test_technicians_and_people_at_home_are_told_of_nobody(world: World) -> None:
    hand = world.technician
    for client in (world.client, world.resident):
        hand.screen(client)
    phone = fresh(world.coordinator)
    assert [row["client"] for row in phone.of("resident_state").values()] == [world.resident]
    assert "resident_state" not in json.dumps([kind for kind, _ in fresh(hand).rows])
    out = {"client": world.resident, "seen": 10_000, "changes": {"facility": None}}
    world.owner.do("amend_client", out)
    assert not phone.sync().of("resident_state")
    assert not ResidentState.objects.exists()


def test_a_server_from_before_tells_of_all_residents_once(world: World) -> None:
    world.technician.screen(world.resident)
    FeedRow.objects.filter(kind="resident_state").delete()
    ResidentState.objects.all().delete()
    call_command("residents_tell")
    day = (world.technician.now + timedelta(days=91)).date().isoformat()
    assert told(fresh(world.coordinator), world.resident)[0]["screen_until"] == day
