"""Older and newer apps: an older one's outbox is always taken (invariant 14 of docs/sync.md), and
nothing of a newer one's request is touched. Check: our own rule."""

import io
import json
import logging.config
from base64 import urlsafe_b64encode
from typing import Any
from uuid import uuid4

import pytest
from django.http import HttpResponse

from heelwright.commandlog.protocol import PROTOCOL
from heelwright.settings import base
from tests.database import everything
from tests.factories import client_args
from tests.sync.http import Wire, told
from tests.tenancy.test_signing_in import session_of
from tests.world import World

NEWER = PROTOCOL + 1


@pytest.fixture
def wire(world: World) -> Wire:
    return Wire(world.technician)


def bodies(wire: Wire) -> dict[str, dict[str, Any]]:
    device = str(wire.hand.device.pk)
    command = wire.command("register_client", client_args())
    return {
        "/api/push": {"device": device, "commands": [command]},
        "/api/pull": {"device": device, "cursor": None},
        "/api/recovery": {"device": device, "copy": "AAAA"},
    }  # fmt: skip


def signed_in() -> str:
    return session_of("owner@heelside.example")


def enrol(wire: Wire, session: str, body: dict[str, Any]) -> HttpResponse:
    return wire.post("/api/devices", body, token=None, headers={"X-Session-Token": session})


def test_an_app_of_protocol_1_delivers_and_is_told_to_update(wire: Wire) -> None:
    asked = bodies(wire)
    pushed = json.loads(wire.post("/api/push", asked["/api/push"]).content)
    assert [r["status"] for r in pushed["results"]] == ["applied"]
    pulled = wire.post("/api/pull", asked["/api/pull"])
    bare = wire.client.get("/api/rulebook", headers=wire.authorization())
    assert bare.status_code == 426
    for response in (pulled, wire.rulebook(protocol=1)):
        assert response.status_code == 426
        assert (told(response)["code"], told(response)["field"]) == ("app_out_of_date", "protocol")


def test_an_app_of_protocol_1_may_still_sign_in_to_deliver(wire: Wire) -> None:
    enrolled = enrol(wire, signed_in(), {"device": str(uuid4()), "name": "An old app"})
    assert enrolled.status_code == 200


@pytest.mark.parametrize("more", [{}, {"of_tomorrow": [1]}, {"commands": "other", "cursor": 7}])
def test_nothing_of_a_newer_app_is_touched(wire: Wire, more: dict[str, Any]) -> None:
    """Whatever else its bodies hold: it is not read."""
    session = signed_in()
    before = everything()
    responses = [
        wire.post(path, {"protocol": NEWER, **body, **more}) for path, body in bodies(wire).items()
    ]
    new = {"protocol": NEWER, "device": str(uuid4()), "name": "N", **more}
    responses.append(enrol(wire, session, new))
    responses.append(wire.rulebook(protocol=NEWER))
    for response in responses:
        assert response.status_code == 503
        error = json.loads(response.content)
        assert (error["code"], error["field"]) == ("server_out_of_date", "protocol")
        assert error["remedy"]
    assert everything() == before


@pytest.mark.parametrize("protocol", [0, -1, "two", "2", "99", True, None, 1.5, 2.0, [2]])
def test_a_protocol_that_is_none(wire: Wire, protocol: Any) -> None:
    for path, body in bodies(wire).items():
        error = told(wire.post(path, {"protocol": protocol, **body}))
        assert error["field"] == "protocol"


@pytest.mark.parametrize("protocol", [0, -1, "two", None, 1.5, [2]])
def test_a_protocol_in_the_address_that_is_none(wire: Wire, protocol: Any) -> None:
    assert told(wire.rulebook(protocol=protocol))


def test_a_newer_app_is_no_trouble_of_the_servers(
    wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The log keeps quiet of it; a fault is told once, with where it rose."""
    logging.config.dictConfig(base.LOGGING)
    lines = io.StringIO()
    for name in ("", "django.request"):
        (handler,) = logging.getLogger(name).handlers
        handler.setStream(lines)  # type: ignore[attr-defined]
    assert wire.rulebook(protocol=NEWER).status_code == 503
    assert lines.getvalue() == ""
    monkeypatch.setattr("heelwright.sync.api.book_of", lambda _: 1 / 0)
    assert wire.rulebook().status_code == 503
    assert lines.getvalue().count(" ERROR ") == 1
    assert "ZeroDivisionError" in lines.getvalue()


def test_the_cursor_of_a_protocol_1_app_starts_it_afresh(wire: Wire) -> None:
    """What its phone has kept from before the update."""
    fields = {"epoch": str(uuid4()), "done": 31, "upper": 0, "place": 0}
    old = urlsafe_b64encode(json.dumps(fields).encode()).decode()
    page = json.loads(wire.pull(old).content)
    assert page["reset"] is True
    assert page["rows"]
