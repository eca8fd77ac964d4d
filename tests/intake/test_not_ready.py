"""What a coordinator is told of a resident who can't be visited. Check: our own rule."""

import json

import pytest
from django.core.management import call_command

from heelwright.commandlog.models import FeedRow
from heelwright.intake.models import NotReady
from heelwright.rulebook import book_for
from tests.factories import HEALTHY, NEEDS_WORD, REFERRED, decision, sheet_args
from tests.intake.holds import HOLDS, at_the_door
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import World

# Once it is answered, asking anew is all that is missing: that is no affair of the house.
OF_A_CLINICIAN = sorted(HOLDS.keys() - {"answered, not asked again"})
RULES = {rule.id for rule in book_for(None).content.rules}


def moves_in(world: World) -> None:
    changes = {"facility": world.facility, "room": "8"}
    world.owner.do("amend_client", {"client": world.client, "seen": 10_000, "changes": changes})


def told(phone: PhoneModel, client: str) -> list[dict[str, object]]:
    """Of one client, without the ids that every row has."""
    found = [row for row in phone.of("not_ready").values() if row["client"] == client]
    return [{k: v for k, v in row.items() if k not in ("id", "client")} for row in found]


def shares(world: World, client: str, agreed: bool = True) -> None:
    hand = world.technician.later(minutes=1)
    args = sheet_args(
        client=client, decided_at=hand.stamp(), decisions=[decision("sharing", agreed)]
    )
    hand.do("record_consent_sheet", args)
    world.coordinator.now = hand.now


@pytest.mark.parametrize("hold", OF_A_CLINICIAN)
def test_whoever_a_clinician_holds_is_not_ready_and_no_reason_is_told(
    world: World, hold: str
) -> None:
    moves_in(world)
    held = at_the_door(world, HOLDS[hold])
    phone = fresh(world.coordinator)
    assert told(phone, held.client) == [{"last_day": None, "clinician": False}]
    page = json.dumps([(kind, str(id_), row[2]) for (kind, id_), row in phone.rows.items()])
    records = [one[kind] for one in (held.start, held.older) for kind in ("screen", "check")]
    assert not [record for record in records if record in page]
    told_of = json.dumps(told(phone, held.client))
    assert not [rule for rule in RULES if rule in told_of]
    for word in ("refer_first", "emergency", "needs_clearance", "answers", "findings", "reasons"):
        assert word not in page


def test_who_waits_for_nobody_is_not_named(world: World) -> None:
    moves_in(world)
    at_the_door(world, HOLDS["answered, not asked again"])
    assert not told(fresh(world.coordinator), world.client)


def test_a_clinician_is_named_where_the_client_agreed_to_sharing_alone(world: World) -> None:
    hand, resident = world.technician, world.resident
    hand.screen(resident, REFERRED)
    phone = fresh(world.coordinator)
    assert told(phone, resident) == [{"last_day": None, "clinician": False}]
    shares(world, resident)
    assert told(phone.sync(), resident) == [{"last_day": None, "clinician": True}]
    shares(world, resident, agreed=False)
    assert told(phone.sync(), resident) == [{"last_day": None, "clinician": False}]
    assert phone.rows == fresh(world.coordinator).rows


def test_a_clinicians_yes_and_a_clear_screen_end_it(world: World) -> None:
    hand, resident = world.technician, world.resident
    referral = hand.screen(resident, REFERRED)
    phone = fresh(world.coordinator)
    hand.later(minutes=1).answer(referral, verdict="may_not")
    assert told(phone.sync(), resident)
    hand.later(minutes=1).answer(referral)
    assert not told(phone.sync(), resident)
    hand.later(minutes=1).screen(resident, HEALTHY)
    assert not told(phone.sync(), resident)
    assert phone.rows == fresh(world.coordinator).rows


def test_the_last_day_of_a_clearance_is_told_and_no_day_once_it_is_withdrawn(world: World) -> None:
    hand, resident = world.technician, world.resident
    hand.screen(resident, NEEDS_WORD)
    phone = fresh(world.coordinator)
    assert told(phone, resident) == [{"last_day": None, "clinician": False}]
    clearance = hand.later(minutes=1).clear(resident)
    last_day = {"last_day": hand.day(days=90), "clinician": False}
    assert told(phone.sync(), resident) == [last_day]
    gone = {"clearance": clearance, "reason": "New", "withdrawn_at": hand.later(minutes=1).stamp()}
    hand.do("withdraw_clearance", gone)
    assert told(phone.sync(), resident) == [{"last_day": None, "clinician": False}]


def test_nobody_is_told_of_a_client_at_home_or_of_a_resident_who_moved_out(world: World) -> None:
    hand = world.technician
    for client in (world.client, world.resident):
        hand.screen(client, REFERRED)
    phone = fresh(world.coordinator)
    assert [row["client"] for row in phone.of("not_ready").values()] == [world.resident]
    assert "not_ready" not in {kind for kind, _ in fresh(hand).rows}
    out = {"client": world.resident, "seen": 10_000, "changes": {"facility": None}}
    world.owner.do("amend_client", out)
    assert not phone.sync().of("not_ready")
    assert not NotReady.objects.exists()


def test_two_cards_that_become_one_leave_one_word(world: World) -> None:
    hand, resident = world.technician, world.resident
    double = hand.register(facility=world.facility, room="9")
    for client in (double, resident):
        hand.later(minutes=1).screen(client, REFERRED)
    phone = fresh(world.coordinator)
    world.owner.now = world.coordinator.now = hand.now
    world.owner.do("merge_clients", {"stays": resident, "goes": double})
    assert len(phone.sync().of("not_ready")) == 1
    assert phone.rows == fresh(world.coordinator).rows


def test_a_server_from_before_tells_of_all_residents_once(world: World) -> None:
    world.technician.screen(world.resident, REFERRED)
    FeedRow.objects.filter(kind="not_ready").delete()
    NotReady.objects.all().delete()
    phone = fresh(world.coordinator)
    assert not told(phone, world.resident)
    call_command("residents_tell")
    assert told(phone.sync(), world.resident) == [{"last_day": None, "clinician": False}]
    before = phone.cursor
    call_command("residents_tell")
    assert phone.sync().cursor == before
