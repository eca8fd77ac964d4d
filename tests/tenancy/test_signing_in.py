"""Signing in, enrolling a phone, every door without a key: over HTTP, with the real sign-in."""

import json
from typing import Any
from uuid import uuid4

import pytest
from django.core.cache import cache
from django.http import HttpResponse
from django.test import Client

from heelwright import clock
from heelwright.tenancy.models import Device, Staff
from tests.database import everything
from tests.sync.http import Wire, told
from tests.sync.phone_model import fresh
from tests.world import PASSWORD, World

LOGIN = "/_allauth/app/v1/auth/login"
SOME_ID = "01a20000-0000-7000-8000-000000000001"
SESSION = "/_allauth/app/v1/auth/session"


@pytest.fixture(autouse=True)
def no_tries_counted() -> None:
    cache.clear()


def post(path: str, body: Any, **headers: str) -> HttpResponse:
    browser = Client(raise_request_exception=False, enforce_csrf_checks=True)
    data = body if isinstance(body, bytes) else json.dumps(body).encode()
    kind = headers.pop("content_type", "application/json")
    return browser.post(path, data=data, content_type=kind, headers=headers)  # type: ignore[return-value]


def session_of(email: str, password: str = PASSWORD) -> str:
    response = post(LOGIN, {"email": email, "password": password})
    assert response.status_code == 200, response.content
    assert not response.cookies
    token: str = json.loads(response.content)["meta"]["session_token"]
    return token


def test_the_whole_way_in(world: World) -> None:
    session = session_of("OWNER@Heelside.Example")
    device = str(uuid4())
    response = post(
        "/api/devices", {"device": device, "name": "New phone"}, **{"X-Session-Token": session}
    )
    body = json.loads(response.content)
    assert response.status_code == 200, body
    assert set(body) == {
        "token", "device", "staff", "practice", "next_seq", "now", "lease_seconds", "lost",
    }  # fmt: skip
    assert body["staff"]["role"] == "owner"
    assert body["next_seq"] == 1
    assert not response.cookies
    ended = Client().delete(SESSION, headers={"X-Session-Token": session})
    assert ended.status_code == 401  # what the library says of a session that is now over
    again = post(
        "/api/devices", {"device": str(uuid4()), "name": "X"}, **{"X-Session-Token": session}
    )
    assert told(again)["code"] == "not_signed_in"
    pulled = post(
        "/api/pull",
        {"protocol": 2, "device": device, "cursor": None},
        Authorization=f"Bearer {body['token']}",
    )
    assert pulled.status_code == 200
    assert device in {str(id_) for id_ in fresh(world.owner).of("device")}


def test_the_token_is_kept_nowhere(world: World) -> None:
    assert world.owner.token not in json.dumps(everything())
    assert len(bytes(Device.objects.get(pk=world.owner.device.pk).token_digest)) == 32


@pytest.mark.parametrize(
    ("body", "status"),
    [
        ({"email": "owner@heelside.example", "password": "wrong"}, 400),
        ({"email": "owner@heelside.example"}, 400),
        ({"password": PASSWORD}, 400),
        ({}, 400),
        ({"email": ["a"], "password": {"b": 1}}, 400),
        ({"email": "owner@heelside.example\x00", "password": PASSWORD}, 400),
        ({"email": "\ud83d@heelside.example", "password": "\ud83d"}, 400),
        ({"email": "owner@heelside.example", "password": "\x00"}, 400),
        ({"email": "a" * 100_000 + "@example.org", "password": PASSWORD}, 413),
        (b"not json", 400),
        (b"[]", 400),
        (b"[" * 100_000, 413),
        (b'{"email": NaN, "password": 1e999}', 400),
        (b"\xff", 400),
        (b"", 400),
    ],
)
def test_bad_sign_ins(world: World, body: Any, status: int) -> None:
    response = post(LOGIN, body)
    assert told(response)
    assert response.status_code == status
    assert PASSWORD not in response.content.decode()


def test_tries_are_counted(world: World) -> None:
    wrong = {"email": "owner@heelside.example", "password": "wrong again"}
    codes = [told(post(LOGIN, wrong))["code"] for _ in range(12)]
    assert codes[0] == "email_password_mismatch"
    assert "too_many" in codes[-1]


def test_somebody_who_has_left_does_not_get_in(world: World) -> None:
    owner = Staff.objects.get(pk=world.owner.staff.pk)
    session = session_of(owner.email)
    owner.ended_at = clock.now()
    owner.save(update_fields=["ended_at"])
    assert post(LOGIN, {"email": owner.email, "password": PASSWORD}).status_code >= 400
    late = post(
        "/api/devices", {"device": str(uuid4()), "name": "X"}, **{"X-Session-Token": session}
    )
    assert told(late)["code"] == "not_signed_in"
    assert told(Wire(world.owner).pull())["code"] == "device_revoked"


def test_nobody_signs_up_by_themselves(world: World) -> None:
    response = post(
        "/_allauth/app/v1/auth/signup",
        {"email": "new@example.org", "password": "a long new password"},
    )
    assert told(response)
    assert not Staff.objects.filter(email="new@example.org").exists()


@pytest.mark.parametrize(
    ("body", "code", "field"),
    [
        ({}, "missing_field", "device"),
        ({"device": "x", "name": "a"}, "wrong_type", "device"),
        ({"device": SOME_ID}, "missing_field", "name"),
        ({"device": SOME_ID, "name": ""}, "too_short", "name"),
        ({"device": SOME_ID, "name": "n" * 81}, "too_long", "name"),
        ({"device": SOME_ID, "name": "a\x00b"}, "odd_character", "name"),
        ({"device": SOME_ID, "name": "\ud83d"}, "odd_character", "name"),
    ],
)
def test_bad_enrolments(world: World, body: Any, code: str, field: str) -> None:
    session = session_of("owner@heelside.example")
    before = Device.objects.count()
    response = post("/api/devices", body, **{"X-Session-Token": session})
    error = told(response)
    assert (error["code"], error["field"]) == (code, field)
    assert Device.objects.count() == before


def test_a_device_number_in_use_is_not_taken_over(world: World) -> None:
    session = session_of("owner@heelside.example")
    taken = {"device": str(world.stranger.device.pk), "name": "Mine now"}
    assert told(post("/api/devices", taken, **{"X-Session-Token": session}))["code"] == (
        "device_known"
    )
    assert Wire(world.stranger).pull().status_code == 200


ROUTES = [
    ("POST", "/api/push"), ("POST", "/api/pull"), ("GET", "/api/rulebook"),
    ("GET", f"/api/documents/referral_letter/{SOME_ID}"), ("POST", "/api/devices"),
]  # fmt: skip


@pytest.mark.parametrize(("method", "path"), ROUTES)
@pytest.mark.parametrize("headers", [
    {}, {"Authorization": "Bearer nothing"}, {"Authorization": "Bearer "}, {"Authorization": "x"},
    {"Authorization": "Basic eDp5"}, {"X-Session-Token": "nothing"},
    {"X-Session-Token": "a" * 5000},
])  # fmt: skip
def test_no_key_no_way_in(world: World, method: str, path: str, headers: dict[str, str]) -> None:
    browser = Client(raise_request_exception=False)
    response: Any = browser.generic(method, path, "{}", "application/json", headers=headers)
    assert response.status_code == 401
    assert told(response)["code"] == "not_signed_in"


@pytest.mark.parametrize(("method", "path"), ROUTES[:4])
def test_a_phone_that_was_switched_off(world: World, method: str, path: str) -> None:
    response: Any = Client().generic(
        method,
        path,
        "{}",
        "application/json",
        headers={"Authorization": f"Bearer {world.revoked.token}"},
    )
    assert response.status_code == 403
    assert told(response)["code"] == "device_revoked"


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_the_wrong_method(world: World, method: str, path: str) -> None:
    wire = Wire(world.owner)
    for other in {"GET", "POST", "PUT", "DELETE", "PATCH"} - {method}:
        response: Any = wire.client.generic(
            other, path, "{}", "application/json", headers=wire.authorization()
        )
        assert response.status_code == 405
        assert told(response)["code"] == "wrong_method"


@pytest.mark.parametrize("path", ["/api/nothing", "/nothing", "/api/push/", "/_allauth/nothing",
                                  "/_allauth/browser/v1/auth/login", "/admin/"])  # fmt: skip
def test_addresses_that_are_not_there(world: World, path: str) -> None:
    assert told(Wire(world.owner).post(path, {}))["code"] == "not_found"


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded",
                                  "multipart/form-data; boundary=x", ""])  # fmt: skip
@pytest.mark.parametrize("path", ["/api/push", "/api/pull"])
def test_what_a_page_elsewhere_could_send_is_not_read(world: World, path: str, kind: str) -> None:
    """A form of another site sends cookies and these types only."""
    before = everything()
    body = {"device": str(world.owner.device.pk), "commands": []}
    response = Wire(world.owner).post(path, body, content_type=kind)
    assert response.status_code == 415
    assert told(response)["code"] == "wrong_content_type"
    assert everything() == before


@pytest.mark.parametrize(("method", "path"), ROUTES)
def test_cookies_open_no_door(world: World, method: str, path: str) -> None:
    """A browser that is signed in by cookie, led here by another site, is nobody."""
    browser = Client(raise_request_exception=False, enforce_csrf_checks=True)
    browser.force_login(world.owner.staff)
    assert browser.cookies
    response: Any = browser.generic(
        method, path, "{}", "application/json", headers={"Origin": "https://elsewhere.example"}
    )
    assert response.status_code == 401
    assert told(response)["code"] == "not_signed_in"
    assert "Access-Control-Allow-Origin" not in response.headers


def test_a_sign_in_from_another_site_leaves_no_cookie(world: World) -> None:
    browser = Client(enforce_csrf_checks=True)
    body = json.dumps({"email": "owner@heelside.example", "password": PASSWORD})
    response: Any = browser.post(
        LOGIN, body, content_type="text/plain", headers={"Origin": "https://elsewhere.example"}
    )
    assert told(response)["code"] == "wrong_content_type"
    assert not response.cookies
    assert not browser.cookies


def test_the_rulebook_once_and_then_unchanged(world: World) -> None:
    wire = Wire(world.coordinator)
    first = wire.client.get("/api/rulebook?protocol=2", headers=wire.authorization())
    assert first.status_code == 200
    version = json.loads(first.content)["version"]
    assert first.headers["ETag"] == f'"{version}"'
    held = {**wire.authorization(), "If-None-Match": f'"{version}"'}
    assert wire.client.get("/api/rulebook?protocol=2", headers=held).status_code == 304


def test_every_answer_has_the_content_security_policy(world: World) -> None:
    wire = Wire(world.owner)
    for response in (wire.pull(), wire.post("/api/push", b"x"), wire.post("/nothing", {})):
        assert "default-src 'self'" in response.headers["Content-Security-Policy"]
