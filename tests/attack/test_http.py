"""What a hostile client sends over HTTP, beyond a wrong body: each answer typed, and nothing for
anybody's cache."""

import gzip
import json
import secrets
from typing import Any

import pytest
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.test import Client
from pytest_django import Settings

from heelwright.settings.web import TypedErrors
from tests.sync.http import Wire, told
from tests.world import PASSWORD, World

LOGIN = "/_allauth/app/v1/auth/login"
SESSION = "/_allauth/app/v1/auth/session"


@pytest.fixture
def wire(world: World) -> Wire:
    cache.clear()  # the tries of other tests
    return Wire(world.owner)


def body(wire: Wire) -> str:
    return json.dumps({"device": str(wire.hand.device.pk), "commands": []})


def test_one_name_twice_is_refused(wire: Wire) -> None:
    """RFC 8259, 4: what a reader makes of it is unpredictable. The server must not choose."""
    nobody = '{"device": "00000000-0000-0000-0000-000000000000", '
    assert told(wire.post("/api/push", (nobody + body(wire)[1:]).encode()))["code"] == "not_json"
    command = wire.command("record_screen", {"answers": {"diabetes": True}})
    twice = json.dumps({"device": str(wire.hand.device.pk), "commands": [command]}).replace(
        '"diabetes": true', '"diabetes": true, "diabetes": false'
    )
    assert told(wire.post("/api/push", twice.encode()))["code"] == "not_json"
    sign_in = '{"email": "a@b.example", "email": "c@d.example", "password": "x"}'
    assert told(wire.post(LOGIN, sign_in.encode(), token=None))["code"] == "not_json"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-32", "utf-8-sig"])
def test_other_encodings_are_no_json(wire: Wire, encoding: str) -> None:
    """RFC 8259, 8.1: UTF-8, without a byte order mark."""
    assert told(wire.post("/api/push", body(wire).encode(encoding)))["code"] == "not_json"


@pytest.mark.parametrize("packed", [False, True])
@pytest.mark.parametrize("path", [LOGIN, SESSION, "/api/devices", "/api/sign/open"])
def test_a_sign_in_is_small(wire: Wire, path: str, packed: bool) -> None:
    """Anybody may send one. Nothing of a larger body is read, and nothing larger unpacked."""
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    token = json.loads(wire.post(LOGIN, given, token=None).content)["meta"]["session_token"]
    large = json.dumps({"name": "x" * 16 * 1024}).encode()
    headers = {"X-Session-Token": token}
    if packed:
        # Blanks would pack too well to be taken at all.
        large = gzip.compress(secrets.token_hex(9_000).encode())
        headers["Content-Encoding"] = "gzip"
    response = wire.post(path, large, token=None, headers=headers)
    # The sign-in library takes nothing packed.
    expected = (400, "not_json") if packed and "allauth" in path else (413, "too_large")
    assert (response.status_code, told(response)["code"]) == expected


def test_of_a_large_sign_in_nothing_is_read(wire: Wire) -> None:
    class Unread:
        def read(self, *_: int) -> bytes:
            pytest.fail("the body was read")

        readline = read

    large = {"CONTENT_LENGTH": str(2**24), "wsgi.input": Unread()}
    for path in (LOGIN, "/api/devices", "/api/sign/open", "/api/sign/done"):
        response = wire.post(path, b"", token=None, **large)
        assert (response.status_code, told(response)["code"]) == (413, "too_large")


@pytest.mark.parametrize("path", [LOGIN, "/api/devices", "/api/sign/open", "/api/sign/done"])
def test_a_sign_in_is_shallow(wire: Wire, path: str) -> None:
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    token = json.loads(wire.post(LOGIN, given, token=None).content)["meta"]["session_token"]
    deep = ('{"name": ' + "[" * 6 + "]" * 6 + "}").encode()
    response = wire.post(path, deep, token=None, headers={"X-Session-Token": token})
    assert (response.status_code, told(response)["code"]) == (400, "not_json")


@pytest.mark.parametrize("field", ["email", "password"])
def test_characters_that_cannot_be_kept_are_no_trouble_of_the_servers(
    wire: Wire, field: str
) -> None:
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    for odd in ("a\x00@b.example", "\ud800@b.example"):
        error = told(wire.post(LOGIN, {**given, field: odd}, token=None))
        assert (error["code"], error["field"]) == ("odd_character", field)


def test_the_root_of_the_api_is_nothing(wire: Wire) -> None:
    response: Any = wire.client.get("/api/", headers=wire.authorization())
    assert (response.status_code, told(response)["code"]) == (404, "not_found")


@pytest.mark.parametrize(
    "rest",
    ["auth/password/request", "auth/password/reset", "auth/signup", "auth/reauthenticate",
     "account/email", "account/password/change", "tokens/refresh", "config"],
)  # fmt: skip
def test_of_the_sign_in_library_two_addresses_are_open(wire: Wire, rest: str) -> None:
    """A session could else change the e-mail and the password, and a stranger could send mail."""
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    token = json.loads(wire.post(LOGIN, given, token=None).content)["meta"]["session_token"]
    for method in ("get", "post"):
        response: Any = getattr(wire.client, method)(
            f"/_allauth/app/v1/{rest}",
            data=None if method == "get" else json.dumps(given),
            content_type="application/json",
            headers={"X-Session-Token": token},
        )
        assert (response.status_code, told(response)["code"]) == (404, "not_found")


def test_a_session_opens_nothing_after_the_sign_out(wire: Wire) -> None:
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    token = json.loads(wire.post(LOGIN, given, token=None).content)["meta"]["session_token"]
    held = {"X-Session-Token": token}
    wire.client.delete(SESSION, headers=held)
    new = {"device": "0b99ec2a-f185-4355-8a1d-31e6cfbb00ee", "name": "Invented"}
    response = wire.post("/api/devices", new, token=None, headers=held)
    assert (response.status_code, told(response)["code"]) == (401, "not_signed_in")


def test_no_answer_of_the_server_is_for_a_cache(world: World, wire: Wire) -> None:
    given = {"email": wire.hand.staff.email, "password": PASSWORD}
    letter = wire.hand.screen(world.client, {"foot_injury": True})
    answers: list[Any] = [
        wire.pull(),
        wire.push(),
        wire.post(LOGIN, given, token=None),
        wire.post("/api/push", b"x"),
        wire.client.get("/api/rulebook?protocol=2", headers=wire.authorization()),
        wire.client.get(f"/api/documents/referral_letter/{letter}", headers=wire.authorization()),
    ]
    assert [a.status_code for a in answers] == [200, 200, 200, 400, 200, 200]
    assert {a.headers["Cache-Control"] for a in answers} == {"no-store"}


@pytest.mark.parametrize("method", ["put", "post", "delete", "patch", "options", "trace"])
def test_the_apps_own_files_are_only_read(world: World, method: str, tmp_path: Any) -> None:
    response: Any = getattr(Client(raise_request_exception=False), method)("/")
    assert response.status_code in {404, 405}  # 404 where the app has not been built
    told(response)


def test_a_file_that_is_streamed_is_told_as_an_error_too() -> None:
    """WhiteNoise answers a wrong method with an empty stream."""
    empty = StreamingHttpResponse([], status=405, headers={"Allow": "GET, HEAD"})
    response: HttpResponse = TypedErrors(lambda _: empty)(HttpRequest())  # type: ignore[arg-type,return-value]
    assert told(response)["code"] == "wrong_method"
    assert response.headers["Allow"] == "GET, HEAD"


def test_a_host_that_is_not_ours(wire: Wire, settings: Settings) -> None:
    """A page elsewhere that rebinds its own name to this server gets nothing from it."""
    settings.ALLOWED_HOSTS = ["localhost"]
    for path in ("/api/rulebook?protocol=2", "/", LOGIN):
        response: Any = wire.client.get(
            path, headers={**wire.authorization(), "Host": "evil.example"}
        )
        assert response.status_code == 400
        told(response)
    fine: Any = wire.client.get(
        "/api/rulebook?protocol=2", headers={**wire.authorization(), "Host": "localhost"}
    )
    assert fine.status_code == 200
