"""Bad input over HTTP: always a typed answer with code, field, text and remedy; nothing
half-written; and no word of what was typed in an answer or in a log."""

import io
import json
import logging
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache

from heelwright.commandlog import registry
from heelwright.commandlog.models import LoggedArgs
from heelwright.settings.logs import BareFormatter
from tests.database import everything, without_log
from tests.factories import (
    check_args,
    client_args,
    consent_args,
    done_args,
    ident,
    screen_args,
)
from tests.sync.http import Wire, told
from tests.world import PASSWORD, World

MARKER = "zqxmarker7"
NAMED = {
    **{name: ident() for name in ("booking", "screen", "check", "consent")},
    **dict.fromkeys(("started_at", "ended_at"), "2026-05-04T08:00:00+00:00"),
}
CRACK = {
    "id": "f1",
    "foot": "left",
    "view": "sole",
    "region": "heel_centre",
    "what": "crack",
    "depth_mm": 1,
}


@pytest.fixture
def wire(world: World) -> Wire:
    return Wire(world.technician)


@pytest.fixture(autouse=True)
def logged(caplog: pytest.LogCaptureFixture) -> Iterator[io.StringIO]:
    """The handler of the settings, and pytest's own: neither may see what people type."""
    cache.clear()
    stderr = io.StringIO()
    handler = logging.StreamHandler(stderr)
    handler.setFormatter(BareFormatter())
    logging.getLogger().addHandler(handler)
    caplog.set_level(logging.DEBUG)
    logging.getLogger("factory").setLevel(logging.INFO)
    yield stderr
    logging.getLogger().removeHandler(handler)
    assert MARKER not in stderr.getvalue()
    assert MARKER not in caplog.text
    assert "unexpected error" not in caplog.text


def refusal(wire: Wire, name: str, args: dict[str, Any]) -> dict[str, Any]:
    """Push one command that is refused; the push itself is in order and the phone goes on."""
    response = wire.push(wire.command(name, args))
    assert response.status_code == 200, response.content[:300]
    (result,) = json.loads(response.content)["results"]
    assert result["status"] == "refused"
    assert MARKER not in response.content.decode()
    found: dict[str, Any] = result["refusal"]
    assert found["text"]
    assert found["remedy"]
    return found


def test_a_good_push_and_pull(world: World, wire: Wire) -> None:
    response = wire.push(wire.command("register_client", client_args()))
    assert response.status_code == 200
    body = json.loads(response.content)
    assert body["device"] == str(wire.hand.device.pk)
    assert [r["status"] for r in body["results"]] == ["applied"]
    assert body["next_seq"] == wire.hand.seq + 1
    pulled = json.loads(wire.pull().content)
    assert set(pulled) == {
        "device", "cursor", "more", "reset", "forget", "rows", "next_seq", "now", "lease_seconds",
            "heard", "lost",
    }  # fmt: skip
    assert pulled["reset"] is True
    assert json.loads(wire.pull(pulled["cursor"]).content)["rows"] == []


def test_the_reply_is_lost_and_the_push_is_sent_again(world: World, wire: Wire) -> None:
    command = wire.command("register_client", client_args())
    wire.push(command)
    before = everything()
    (result,) = json.loads(wire.push(command).content)["results"]
    assert result["status"] == "already_applied"
    assert everything() == before


def test_commands_that_cannot_be_right(world: World, wire: Wire) -> None:
    now = wire.hand.stamp()
    cases: list[tuple[str, dict[str, Any], str, str | None]] = [
        ("abolish_gravity", {"note": MARKER}, "unknown_command", "name"),
        ("register_client", client_args(name=[MARKER]), "wrong_type", "name"),
        ("register_client", {"client": str(uuid4())}, "missing_field", "name"),
        ("register_client", client_args(born="1900-01-01"), "date_too_early", "born"),
        ("register_client", client_args(born="2999-01-01"), "date_too_late", "born"),
        ("register_client", client_args(note=MARKER * 500_000), "too_long", "note"),
        ("register_client", client_args(facility=str(uuid4())), "not_found", "facility"),
        (
            "sign_consent",
            consent_args(client=world.client, strokes=[], signed_at=now),
            "no_signature",
            "strokes",
        ),
        (
            "record_screen",
            screen_args(client=world.client, screened_at="1900-05-05T10:00:00Z"),
            "date_too_early",
            "screened_at",
        ),
        (
            "record_screen",
            screen_args(client=world.client, screened_at="2026-11-25T10:00:00"),
            "wrong_type",
            "screened_at",
        ),
        (
            "record_screen",
            screen_args(client=world.client, screened_at=now, answers={"diabetes": 2**70}),
            "wrong_type",
            "answers.diabetes",
        ),
        (
            "amend_client",
            {"client": world.client, "seen": 2**70, "changes": {}},
            "too_large",
            "seen",
        ),
    ]
    before = without_log(everything())
    for name, args, code, field in cases:
        found = refusal(wire, name, args)
        assert (found["code"], found["field"]) == (code, field), (name, found)
    assert without_log(everything()) == before


BODIES: list[tuple[bytes, int, str]] = [
    (MARKER.encode(), 400, "not_json"),
    (b"{" + MARKER.encode(), 400, "not_json"),
    (b"\xff\xfe" + MARKER.encode(), 400, "not_json"),
    (b'{"device": NaN}', 400, "not_json"),
    (b'{"device": Infinity}', 400, "not_json"),
    (b'{"device": -Infinity}', 400, "not_json"),
    (b'{"device": 1e999}', 400, "not_json"),
    (b'{"device": ' + b"9" * 5000 + b"}", 400, "not_json"),
    (b"[" * 100_000, 400, "not_json"),
    (b"[" * 300 + b"]" * 300, 400, "not_json"),
    (b'{"a":' * 50_000 + b"1" + b"}" * 50_000, 400, "not_json"),
    (b"null", 422, "wrong_type"),
    (b"[]", 422, "wrong_type"),
    (b'"text"', 422, "wrong_type"),
    (b"7", 422, "wrong_type"),
    (b"{}", 422, "missing_field"),
    (b"", 422, "missing_field"),
    (b'{"device": "' + MARKER.encode() + b'"}', 422, "wrong_type"),
]


@pytest.mark.parametrize("path", ["/api/push", "/api/pull"])
@pytest.mark.parametrize(("body", "status", "code"), BODIES)
def test_bodies_that_are_no_request(
    wire: Wire, path: str, body: bytes, status: int, code: str
) -> None:
    before = everything()
    response = wire.post(path, body)
    assert told(response)["code"] == code
    assert response.status_code == status
    assert MARKER not in response.content.decode()
    assert everything() == before


def good(wire: Wire) -> dict[str, Any]:
    return wire.command("register_client", client_args(note=MARKER))


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"seq": 0}, "too_small", "seq"),
        ({"seq": -1}, "too_small", "seq"),
        ({"seq": 2**70}, "too_large", "seq"),
        ({"seq": "one"}, "wrong_type", "seq"),
        ({"seq": 1.5}, "wrong_type", "seq"),
        ({"id": MARKER}, "wrong_type", "id"),
        ({"id": None}, "wrong_type", "id"),
        ({"name": ""}, "too_short", "name"),
        ({"name": MARKER * 50}, "too_long", "name"),
        ({"args": [MARKER]}, "wrong_type", "args"),
        ({"args": MARKER}, "wrong_type", "args"),
        ({"made_at": MARKER}, "wrong_type", "made_at"),
        ({"made_at": "2026-11-25T10:00:00"}, "wrong_type", "made_at"),
        ({"made_at": "0001-01-01T00:00:00+14:00"}, "wrong_type", "made_at"),
        ({"made_at": "9999-12-31T23:59:59-12:00"}, "wrong_type", "made_at"),
        ({"rulebook": "\x00"}, "wrong_type", "rulebook"),
        ({"rulebook": MARKER * 50}, "wrong_type", "rulebook"),
        ({"invented": MARKER}, "unknown_field", "invented"),
    ],
)
def test_envelopes_that_cannot_be_right(
    wire: Wire, change: dict[str, Any], code: str, field: str
) -> None:
    before = everything()
    response = wire.push({**good(wire), **change})
    error = told(response)
    assert response.status_code == 422
    assert (error["code"], error["field"]) == (code, f"commands.0.{field}")
    assert MARKER not in response.content.decode()
    assert everything() == before


def test_an_envelope_without_a_part(wire: Wire) -> None:
    for part in ("id", "seq", "name", "args", "made_at", "rulebook"):
        command = good(wire)
        del command[part]
        error = told(wire.push(command))
        assert (error["code"], error["field"]) == ("missing_field", f"commands.0.{part}")


def test_characters_that_no_database_keeps(world: World, wire: Wire) -> None:
    """PostgreSQL refuses NUL; half a surrogate pair is what is left of an emoji cut in two."""
    for odd in ("\x00", "\ud83d", "\udc00"):
        for name, args, field in (
            ("register_client", client_args(note=MARKER + odd), "note"),
            ("register_client", {**client_args(), odd: MARKER}, None),
            ("amend_client", {"client": odd, "seen": 1, "changes": {}}, "client"),
            ("abolish" + odd if odd == "\x00" else "abolish", {"note": odd}, "name"),
            (
                "record_screen",
                screen_args(
                    client=world.client,
                    screened_at=wire.hand.stamp(),
                    answers={"diabetes": [MARKER + odd]},
                ),
                "answers.diabetes.0",
            ),
        ):
            found = refusal(wire, name, args)
            assert found["field"] == field, (name, found)
            assert found["code"] in ("odd_character", "unknown_command", "unknown_field")
    response = wire.push({**good(wire), "rulebook": "\ud83d"})
    assert told(response)["field"] == "commands.0.rulebook"


def test_one_id_twice_in_one_push(wire: Wire) -> None:
    first, second = good(wire), good(wire)
    before = everything()
    response = wire.push(first, {**second, "id": first["id"]})
    assert response.status_code == 409
    assert told(response)["code"] == "device_cloned"
    assert everything() == before


def test_more_commands_than_a_push_may_hold(wire: Wire) -> None:
    response = wire.push(*[good(wire) for _ in range(101)])
    error = told(response)
    assert (error["code"], error["field"]) == ("too_long", "commands")


def test_a_body_that_is_too_large(wire: Wire) -> None:
    before = everything()
    response = wire.post("/api/push", b" " * (24 * 1024 * 1024 + 1))
    assert response.status_code == 413
    assert told(response)["code"] == "too_large"
    assert everything() == before


def test_another_phones_name(world: World, wire: Wire) -> None:
    body: dict[str, Any] = {
        "protocol": 2, "device": str(world.owner.device.pk), "commands": [], "cursor": None,
    }  # fmt: skip
    for path in ("/api/push", "/api/pull"):
        sent = {k: v for k, v in body.items() if k != ("cursor" if "push" in path else "commands")}
        error = told(wire.post(path, sent))
        assert (error["code"], error["field"]) == ("wrong_device", "device")


@pytest.mark.parametrize("cursor", [MARKER, "", "\x00", 7, [], {"done": 1}, "e30", "A" * 500])
def test_cursors_that_nobody_gave_out(wire: Wire, cursor: Any) -> None:
    response = wire.pull(cursor)
    if cursor == "":
        assert response.status_code == 200
        return
    assert told(response)["field"] == "cursor"
    assert MARKER not in response.content.decode()


def test_everything_typed_is_in_no_log_where_the_server_itself_fails(
    wire: Wire, monkeypatch: pytest.MonkeyPatch, logged: io.StringIO, caplog: Any
) -> None:
    """A fault of the server's own: told as one that passes, with no word of what was sent."""

    def broken(*_: Any) -> None:
        raise RuntimeError(MARKER)

    monkeypatch.setattr("heelwright.sync.api.receive", broken)
    response = wire.push(good(wire))
    assert response.status_code == 503
    error = json.loads(response.content)
    assert error["code"] == "server_trouble"
    assert MARKER not in response.content.decode()
    assert "RuntimeError" in logged.getvalue()
    assert MARKER not in logged.getvalue()
    caplog.clear()


def test_the_password_is_in_no_answer(world: World, wire: Wire) -> None:
    body = {"email": "nobody@heelside.example", "password": PASSWORD + MARKER}
    response = wire.post("/_allauth/app/v1/auth/login", body, token=None)
    assert told(response)["code"] == "email_password_mismatch"
    assert MARKER not in response.content.decode()


@pytest.mark.parametrize("endless", ["inf", "NaN", "1e400"])
@pytest.mark.parametrize(
    ("name", "field", "args"),
    [
        (
            "sign_consent",
            "strokes.0.0.t",
            lambda client, number: consent_args(
                client=client, strokes=[[{"x": 1, "y": 1, "t": number}] * 3]
            ),
        ),
        (
            "record_foot_check",
            "findings.0.length_mm",
            lambda client, number: check_args(
                client=client, screen=ident(), findings=[{**CRACK, "length_mm": number}]
            ),
        ),
        (
            "complete_visit",
            "bits.0.rpm",
            lambda client, number: done_args(
                **NAMED, client=client, bits=[{"family": "x", "head_mm": 1, "rpm": number}]
            ),
        ),
    ],
)
def test_an_endless_number_blocks_nothing(
    world: World, wire: Wire, name: str, field: str, args: Any, endless: str
) -> None:
    """As text, it passes for a number: ECMA-404 has none of these as one."""
    refused = wire.command(name, args(world.client, endless))
    good = wire.command("register_client", client_args())
    answers = json.loads(wire.push(refused, good).content)["results"]
    assert [answer["status"] for answer in answers] == ["refused", "applied"]
    assert answers[0]["refusal"]["field"] == field, answers[0]["refusal"]


def test_what_cant_be_sealed_is_refused_and_kept(
    world: World, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A shape that forgets its bounds: the vault is the last to notice."""
    spec = registry.commands()["register_client"]
    loose = replace(spec, apply=lambda act, _: act.raise_incident("odd", act.record, [math.inf]))
    monkeypatch.setitem(registry._commands, "register_client", loose)
    args = client_args()
    bad = wire.command("register_client", args)
    signed = consent_args(client=world.client, signed_at=world.technician.stamp())
    good = wire.command("sign_consent", signed)
    for first, second in [("refused", "applied"), ("already_applied", "already_applied")]:
        response = wire.push(bad, good)
        results = json.loads(response.content)["results"]
        assert [result["status"] for result in results] == [first, second]
    assert LoggedArgs.objects.get(command=bad["id"]).sealed == args
