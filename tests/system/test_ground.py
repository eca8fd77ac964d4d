"""What the other tests of this folder stand on: the server comes back, the phone reaches it."""

import http.client
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Error

from tests.services.phone import Phone
from tests.services.proxy import FaultingProxy
from tests.services.served import ServedApp
from tests.system.conftest import on_sqlite
from tests.system.practice import found


def get(app: ServedApp, path: str) -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", app.port, timeout=20)
    try:
        connection.request("GET", path)
        reply = connection.getresponse()
        return reply.status, reply.read()
    finally:
        connection.close()


def test_the_server_comes_back_after_it_was_killed(live_server_process: ServedApp) -> None:
    assert b"<title>Heelwright</title>" in get(live_server_process, "/")[1]
    live_server_process.kill()
    with pytest.raises(OSError):
        get(live_server_process, "/")
    live_server_process.start()
    assert get(live_server_process, "/")[0] == 200


def test_the_server_runs_on_postgresql_by_one_setting(live_server_on_postgres: ServedApp) -> None:
    status, body = get(live_server_on_postgres, "/api/rulebook")
    assert status == 401
    assert json.loads(body)["code"] == "not_signed_in"
    assert "postgresql" in live_server_on_postgres.database_url
    assert not list(live_server_on_postgres.folder.rglob("*.sqlite3"))


def test_a_practice_is_set_up_and_its_owner_signs_in_under_the_demos_own_settings(
    empty_tables: Path, tmp_path: Path
) -> None:
    """The other tests of this folder sign in under cheaper ones. Django's own hash: published, its
    documentation of 5.2."""
    app = on_sqlite(tmp_path, empty_tables)
    app.settings = "heelwright.settings.demo"
    with app:
        assert found(app).pull()
    (kept,) = (
        sqlite3.connect(app.folder / "heelwright.sqlite3")
        .execute("SELECT password FROM tenancy_staff")
        .fetchone()
    )
    assert kept.startswith("pbkdf2_sha256$1000000$")


def test_keys_of_the_served_app_are_for_its_owner_only(live_server_process: ServedApp) -> None:
    assert live_server_process.key_file.stat().st_mode & 0o777 == 0o600


def test_a_phone_has_its_own_profile_and_opens_cold(
    new_phone: Callable[[str], Phone], faulting_proxy: FaultingProxy, tmp_path: Path
) -> None:
    phone = new_phone("anna")
    page = phone.open()
    page.goto("/")
    assert page.title() == "Heelwright"
    assert page.viewport_size == {"width": 360, "height": 780}
    page.evaluate("localStorage.setItem('kept', 'yes')")
    page = phone.open_again()
    page.goto("/")
    assert page.evaluate("localStorage.getItem('kept')") == "yes"
    assert any((tmp_path / "phone-anna").iterdir())

    stranger = new_phone("ben")
    faulting_proxy.go_offline()
    page = stranger.open()
    with pytest.raises(Error, match="net::ERR_"):
        page.goto("/")
    faulting_proxy.go_online()
    page = stranger.open_again()
    page.goto("/")
    assert page.evaluate("localStorage.getItem('kept')") is None
