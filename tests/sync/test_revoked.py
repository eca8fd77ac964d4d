"""A device that is switched off, and what it had not sent (invariants 1 and 15 of docs/sync.md).
Check: our own rule."""

import json
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest

from heelwright.commandlog.models import Incident, LoggedArgs
from heelwright.intake.models import Referral
from heelwright.intake.records import screens_that_count
from heelwright.people.models import Client
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceRevoked
from tests.database import everything
from tests.factories import (
    NEEDS_WORD,
    OPEN_SORE,
    REFERRED,
    answer_args,
    check_args,
    clearance_args,
    client_args,
    consent_args,
    screen_args,
)
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of


def revoke(world: World, **more: bool) -> None:
    world.owner.do("revoke_device", {"device": str(world.technician.device.pk), **more})


@pytest.fixture
def wire(world: World) -> Wire:
    return Wire(world.technician)


def test_by_default_nothing_is_taken_from_it_any_more(world: World, wire: Wire) -> None:
    revoke(world)
    before = everything()
    response = wire.push(wire.command("register_client", client_args()))
    assert (response.status_code, told(response)["code"]) == (403, "device_revoked")
    with pytest.raises(DeviceRevoked):
        world.technician.deliver()
    assert everything() == before


def test_its_last_work_is_taken_where_the_practice_wants_it(world: World, wire: Wire) -> None:
    """Reports are carried out and flagged; what asks is refused, with all that was typed kept."""
    revoke(world, save_unsent=True)
    screen = screen_args(client=world.client, answers=REFERRED, screened_at=wire.hand.stamp())
    card = client_args(note="what was typed")
    response = wire.push(
        wire.command("record_screen", screen), wire.command("register_client", card)
    )
    report, permission = json.loads(response.content)["results"]
    assert report["status"] == "applied"
    (flag,) = report["incidents"]
    assert Incident.objects.get(pk=flag).code == "from_revoked_device"
    assert (permission["status"], permission["refusal"]["code"]) == ("refused", "device_revoked")
    assert LoggedArgs.objects.get(command_id=permission["id"]).sealed["note"] == "what was typed"
    (incident,) = permission["incidents"]
    flag = Incident.objects.get(pk=incident)
    assert (flag.code, flag.reasons) == ("not_taken_from_revoked_device", ["register_client"])
    rows = fresh(world.owner)
    assert screen["screen"] in {str(id_) for id_ in rows.of("health_screen")}
    assert card["client"] not in {str(id_) for id_ in rows.of("client")}


def test_it_may_do_nothing_but_deliver(world: World, wire: Wire) -> None:
    revoke(world, save_unsent=True)
    body = {"protocol": 2, "device": str(wire.hand.device.pk), "copy": "AAAA"}
    letter = f"/api/documents/referral_letter/{wire.hand.device.pk}"
    for response in (
        wire.pull(),
        wire.rulebook(),
        wire.post("/api/recovery", body),
        wire.client.get(letter, headers=wire.authorization()),
    ):
        assert response.status_code == 403
        assert told(response)["code"] == "device_revoked"  # type: ignore[arg-type]


def test_a_lost_reply_does_no_harm(world: World, wire: Wire) -> None:
    revoke(world, save_unsent=True)
    command = wire.command("register_client", client_args())
    wire.push(command)
    before = everything()
    (again,) = json.loads(wire.push(command).content)["results"]
    assert (again["status"], again["refusal"]["code"]) == ("already_applied", "device_revoked")
    assert everything() == before


def test_the_door_can_be_shut_and_opened_later(world: World, wire: Wire) -> None:
    for save_unsent, status in ((True, 200), (False, 403), (True, 200)):
        revoke(world, save_unsent=save_unsent)
        device = Device.objects.get(pk=wire.hand.device.pk)
        assert device.save_unsent is save_unsent
        assert fresh(world.owner).of("device")[device.pk]["save_unsent"] is save_unsent
        assert wire.push().status_code == status
        assert wire.pull().status_code == 403


def test_its_person_works_on_and_may_bring_the_outbox_along(world: World, wire: Wire) -> None:
    """Sent by the old device and refused there, it stays refused under the new one."""
    revoke(world, save_unsent=True)
    hand = world.technician
    command = hand.envelope("register_client", client_args())
    hand.deliver(command)
    new = phone_of(hand.staff, world.now)
    (again,) = new.deliver(command.model_copy(update={"seq": 1}))
    assert again.status == "already_applied"
    assert again.refusal is not None
    assert again.refusal.code == "device_revoked"
    new.seq = 1
    assert new.register()


def freeing(world: World, hand: Hand, referral: str) -> dict[str, dict[str, Any]]:
    """What a client who is held waits for, each of it as a phone that is not shut out sends it."""
    check = check_args(client=world.client, screen=referral, checked_at=hand.stamp())
    return {
        "record_referral_answer": answer_args(referral=referral, answered_on=hand.day()),
        "sign_consent": consent_args(client=world.client, signed_at=hand.stamp()),
        "record_clearance": clearance_args(
            client=world.client, given_on=hand.day(), expires_on=hand.day(days=90)
        ),
        "record_screen": screen_args(client=world.client, screened_at=hand.stamp()),
        "record_foot_check": check,
    }


def test_what_would_free_a_client_is_kept_and_not_taken(world: World) -> None:
    """The owner is told of whom it speaks and what it was, so that somebody asks again."""
    hand = world.technician
    referral = hand.screen(world.client, REFERRED)
    revoke(world, save_unsent=True)
    rows = fresh(world.owner).rows
    for name, args in freeing(world, hand.later(hours=1), referral).items():
        assert hand.no(name, args) == "device_revoked"
        told = Incident.objects.get(command__seq=hand.seq, command__device=hand.device)
        assert (told.code, told.reasons) == ("not_taken_from_revoked_device", [name])
        assert str(told.client_ref) == world.client
        assert LoggedArgs.objects.get(command__incident=told).sealed == args
    now = fresh(world.owner).rows
    assert {k: v for k, v in now.items() if k in rows} == rows
    assert {kind for kind, _ in now.keys() - rows.keys()} == {"incident"}


def test_what_holds_a_client_is_taken_and_takes_nothing_back(world: World) -> None:
    """It did not know of the other screen, whatever it says: both count (docs/decisions/0097)."""
    owner, hand = world.owner, world.technician
    first = owner.screen(world.client, NEEDS_WORD)
    revoke(world, save_unsent=True)
    second = hand.later(minutes=1).screen(world.client, REFERRED, seen_screens=[first])
    hand.check(world.client, first, OPEN_SORE)
    client = Client.objects.get(pk=world.client)
    standing = screens_that_count(client, hand.now + timedelta(minutes=1))
    assert [str(screen.pk) for screen in standing] == [second, first]
    assert {r.from_kind for r in Referral.objects.filter(client=client)} == {
        "health_screen",
        "foot_check",
    }


@pytest.mark.parametrize(("days", "status"), [(13, 200), (15, 403)])
def test_the_door_shuts_by_itself(world: World, wire: Wire, days: int, status: int) -> None:
    revoke(world, save_unsent=True)
    since = world.now - timedelta(days=days)
    Device.objects.filter(pk=wire.hand.device.pk).update(revoked_at=since)
    response = wire.push()
    assert response.status_code == status
    if status == 403:
        assert told(response)["code"] == "device_revoked"
        with pytest.raises(DeviceRevoked):
            wire.hand.deliver()
        revoke(world, save_unsent=True)
        assert wire.push().status_code == status


def test_feet_that_refer_on_are_taken_without_their_screen(world: World) -> None:
    """The harmless screen that the check names is refused; what the feet show holds the client."""
    hand = world.technician
    screen = screen_args(client=world.client, screened_at=hand.stamp())
    named = {"client": world.client, "screen": screen["screen"], "checked_at": hand.stamp()}
    sore = check_args(**named, answers=OPEN_SORE)
    outbox = [
        hand.envelope("record_screen", screen),
        hand.envelope("record_foot_check", sore),
        hand.envelope("record_foot_check", check_args(**named)),
    ]
    revoke(world, save_unsent=True)
    refused, taken, harmless = hand.later(hours=1).deliver(*outbox)
    assert [r.refusal and r.refusal.code for r in (refused, taken, harmless)] == [
        "device_revoked",
        None,
        "device_revoked",
    ]
    rows = fresh(world.owner)
    assert rows.of("foot_check")[UUID(sore["check"])]["screen"] is None
    referral = rows.of("referral")[UUID(sore["check"])]
    assert (str(referral["check"]), referral["level"]) == (sore["check"], "refer_first")


def test_the_owner_is_told_of_every_report_that_is_not_taken(world: World) -> None:
    hand = world.technician
    taken = hand.screen(world.client)
    revoke(world, save_unsent=True)
    args = screen_args(client=world.client, screen=taken, screened_at=hand.stamp())
    assert hand.no("record_screen", args) == "id_taken"
    told = Incident.objects.get(command__seq=hand.seq, command__device=hand.device)
    assert told.code == "not_taken_from_revoked_device"
