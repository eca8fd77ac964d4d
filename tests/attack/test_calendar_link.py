"""What somebody can do who looks for calendar links, or has one. Check: our own rules."""

import logging
import secrets
from typing import Any

import pytest
from django.core.cache import cache
from django.http import HttpResponse

from heelwright import clock
from heelwright.settings.logs import BareFormatter
from tests.database import everything
from tests.factories import link_args
from tests.sync.http import Wire, told
from tests.world import World


@pytest.fixture(autouse=True)
def no_tries_before(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    cache.clear()
    monkeypatch.setattr(clock, "now", lambda: world.technician.now)


@pytest.fixture
def secret(world: World) -> str:
    """Of a link that has been asked by today."""
    made = secrets.token_urlsafe(32)
    world.technician.do("share_calendar", link_args(made))
    assert asked(world, f"{made}.ics").status_code == 200
    return made


def asked(world: World, rest: str, method: str = "get", **more: Any) -> HttpResponse:
    answer: HttpResponse = getattr(Wire(world.technician).client, method)(
        f"/api/calendar/{rest}", **more
    )
    return answer


def test_nothing_but_the_whole_secret_opens_it(world: World, secret: str) -> None:
    before = everything()
    other = "A" if secret[-1] != "A" else "B"
    guesses = [
        secrets.token_urlsafe(32),
        secret[:-1],
        secret[:-1] + other,
        secret + "A",
        secret.swapcase(),
        link_args(secret)["secret_sha256"],
        "%00" * 43,
        "é" * 43,
        f"{secret}%0A",
        f"%20{secret}",
        "..%2F..%2Fpull",
        "*",
        "%25",
    ]
    for guess in guesses:
        answer = asked(world, f"{guess}.ics")
        assert (answer.status_code, told(answer)["code"]) == (404, "not_found"), guess
        assert answer.headers["Cache-Control"] == "no-store"
    for rest in (secret, f"{secret}.ICS", f"{secret}.ics/", "", f"x/{secret}.ics"):
        assert asked(world, rest).status_code == 404, rest
    assert everything() == before


def test_a_huge_address_is_nothing(world: World) -> None:
    assert told(asked(world, "A" * 100_000 + ".ics"))["code"] == "not_found"


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete", "options"])
def test_it_can_only_be_read(world: World, secret: str, method: str) -> None:
    before = everything()
    answer = asked(world, f"{secret}.ics", method)
    assert (answer.status_code, told(answer)["code"]) == (405, "wrong_method")
    assert set(answer.headers["Allow"].split(", ")) == {"GET", "HEAD"}
    assert everything() == before


def test_its_head_is_that_of_its_calendar(world: World, secret: str) -> None:
    """RFC 9110, 9.3.2."""
    whole, head = asked(world, f"{secret}.ics"), asked(world, f"{secret}.ics", "head")
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["ETag"] == whole.headers["ETag"]


def test_it_opens_nothing_else(world: World, secret: str) -> None:
    """Not even as a token of a phone, or in another's calendar."""
    wire = Wire(world.technician)
    for token in (secret, link_args(secret)["secret_sha256"]):
        body = {"protocol": 2, "device": str(world.technician.device.pk), "cursor": None}
        assert wire.post("/api/pull", body, token=token).status_code == 401


@pytest.mark.parametrize("method", ["get", "head"])
def test_an_address_may_ask_sixty_times_a_minute(world: World, secret: str, method: str) -> None:
    """Whether it guesses or knows. A calendar app asks a few times a day."""
    cache.clear()
    guess = f"{secrets.token_urlsafe(32)}.ics"
    assert {asked(world, guess, method).status_code for _ in range(60)} == {404}
    for rest in (guess, f"{secret}.ics"):
        assert asked(world, rest, method).status_code == 429
    elsewhere = asked(world, f"{secret}.ics", method, REMOTE_ADDR="203.0.113.9")
    assert elsewhere.status_code == 200
    cache.clear()
    assert asked(world, f"{secret}.ics", method).status_code == 200


def test_its_secret_is_in_no_log(
    world: World, secret: str, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither of an answer, nor of a refusal, nor of an error of the server's own. Django's own
    lines have the address in them; all of them are let through here."""
    caplog.handler.setFormatter(BareFormatter())
    caplog.set_level(logging.DEBUG)
    caplog.set_level(logging.DEBUG, "django.request")
    monkeypatch.setattr(logging.getLogger("django.request"), "propagate", True)
    ended = secrets.token_urlsafe(32)
    for rest in (f"{secret}.ics", f"{ended}.ics", f"{secret}.ics/more"):
        asked(world, rest)
    asked(world, f"{secret}.ics", "post")
    with monkeypatch.context() as broken:
        broken.setattr("heelwright.schedule.calendar_api.written", fails)
        assert asked(world, f"{secret}.ics").status_code == 503
    logged = caplog.text
    assert "unexpected error" in logged
    assert "Not Found: /api/calendar/..." in logged
    for hidden in (secret, ended, link_args(secret)["secret_sha256"]):
        assert hidden not in logged


def fails(*given: Any) -> None:
    raise ValueError(given)
