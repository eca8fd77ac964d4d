"""A device that is switched off, and what it had not sent (invariants 1 and 15 of docs/sync.md).
Check: our own rule."""

import json

import pytest

from heelwright.commandlog.models import Incident, LoggedArgs
from heelwright.tenancy.models import Device
from heelwright.tenancy.signin import DeviceRevoked
from tests.database import everything
from tests.factories import client_args, screen_args
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import World, phone_of


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
    screen = screen_args(client=world.client, screened_at=wire.hand.stamp())
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
