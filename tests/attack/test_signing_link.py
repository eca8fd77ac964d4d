"""What somebody can do who has a link to sign, or knows of one: nothing but sign, once. Check: our
own rules."""

import logging
from typing import Any
from uuid import uuid4

import pytest

from heelwright.commandlog.contact import reaches_back_to
from heelwright.commandlog.device_clock import SLACK
from heelwright.commandlog.models import CommandRecord, FeedRow
from heelwright.settings.logs import BareFormatter
from heelwright.tenancy.models import Device
from tests.database import everything
from tests.factories import client_args
from tests.intake.signing import ClientPhone, Link, link, no_tries_before, phone
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import PASSWORD, World, phone_of

__all__ = ["link", "no_tries_before", "phone"]


def asked(wire: Wire, device: str, token: str) -> list[Any]:
    """Every other address, with the token of a link where a device's belongs."""
    about = f"/{uuid4()}"
    body = {"protocol": 2, "device": device}
    bearer = wire.authorization(token)
    return [
        wire.post("/api/push", {**body, "commands": []}, token=token),
        wire.post("/api/pull", {**body, "cursor": None}, token=token),
        wire.post("/api/recovery", {**body, "copy": "AAAA"}, token=token),
        wire.client.get("/api/rulebook?protocol=2", headers=bearer),
        wire.client.get(f"/api/photos{about}", headers=bearer),
        wire.client.get(f"/api/photos{about}/parts", headers=bearer),
        wire.client.get(f"/api/documents/consent_record{about}", headers=bearer),
        wire.client.get(f"/api/documents/referral_letter{about}", headers=bearer),
    ]


def test_its_token_opens_nothing_else(world: World, link: Link, phone: ClientPhone) -> None:
    phone.open()
    before = everything()
    for secret in (link.token, phone.secret, link.args["token_sha256"]):
        for response in asked(phone.wire, link.args["offer"], secret):
            assert (response.status_code, told(response)["code"]) == (401, "not_signed_in")
    assert everything() == before


def test_no_device_speaks_for_it(world: World, link: Link, phone: ClientPhone) -> None:
    """Not even a device of the same person, by its own token."""
    phone.open()
    before = everything()
    body = {"protocol": 2, "device": link.args["offer"]}
    pushed = {"commands": [phone.wire.command("register_client", client_args())]}
    for path, more in (("/api/push", pushed), ("/api/pull", {"cursor": None})):
        assert told(phone.wire.post(path, body | more))["code"] == "wrong_device"
    assert everything() == before


def test_its_device_is_nobodys_phone(world: World, link: Link, phone: ClientPhone) -> None:
    """Not in Team, not to be shut out or enrolled there."""
    phone.open()
    phone.done()
    device = link.args["offer"]
    assert Device.objects.filter(pk=device).exists()
    assert not FeedRow.objects.filter(kind="device", row_id=device).exists()
    assert device not in {str(id_) for id_ in fresh(world.owner).of("device")}
    assert world.owner.no("revoke_device", {"device": device, "save_unsent": True}) == "not_found"
    login = {"email": world.owner.staff.email, "password": PASSWORD}
    session = phone.wire.post("/_allauth/app/v1/auth/login", login, token=None)
    headers = {"X-Session-Token": session.json()["meta"]["session_token"]}  # type: ignore[attr-defined]
    new = {"device": device, "name": "Mine", "protocol": 2}
    response = phone.wire.post("/api/devices", new, token=None, headers=headers)
    assert told(response)["code"] == "device_known"


def test_one_that_waits_makes_no_phone_silent(world: World, link: Link) -> None:
    """How far back a new phone's work reaches is told by its person's phones alone."""
    hand = world.technician
    hand.later(days=3)
    hand.register()
    anew = phone_of(hand.staff, hand.now)
    anew.later(hours=1).register()
    record = CommandRecord.objects.get(device=anew.device)
    spoke = CommandRecord.objects.filter(device=hand.device).latest("received_at").received_at
    assert reaches_back_to(record) == spoke - SLACK


def test_an_answer_reaches_back_to_its_link(world: World, link: Link, phone: ClientPhone) -> None:
    phone.open()
    answer = phone.answer(agreed=False)
    world.technician.later(days=2)
    phone.post("done", answer)
    record = CommandRecord.objects.get(device=link.args["offer"])
    assert reaches_back_to(record) == world.now - SLACK


def test_nothing_of_it_is_logged(
    world: World, link: Link, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither by an answer, nor by an error of the server's own."""
    caplog.handler.setFormatter(BareFormatter())
    caplog.set_level(logging.DEBUG)
    given = {"signer_name": "Zq Signer", "place": "Zq Place"}
    shown = Link(world.technician, client=world.client, **given).offered()
    phone = ClientPhone(shown)
    phone.open()
    ClientPhone(shown).open()
    phone.done(signed=False, said="Zq words")
    with monkeypatch.context() as broken:
        broken.setattr("heelwright.intake.sign_api.receive", fails)
        assert phone.done(said="Zq words").status_code == 503
    phone.done(said="Zq words")
    logged = caplog.text
    assert "unexpected error" in logged
    for secret in (shown.token, phone.secret, shown.args["token_sha256"], "Zq", world.client):
        assert secret not in logged


def fails(*given: Any) -> None:
    raise ValueError(given)
