"""What is done beside the server: by a real worker, through a real Redis and through a folder."""

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email import message_from_bytes
from email.policy import default
from pathlib import Path

import pytest
from celery import Celery

from heelwright.settings.base import queue
from heelwright.settings.celery import app
from tests.factories import watch_args
from tests.services import redis
from tests.services.served import ServedApp
from tests.system.device import ask
from tests.system.practice import owner_of

MOST_SECONDS = 40
NEWEST = "/api/planning/runs/newest"


@pytest.fixture(params=["redis", "folder"])
def served(request: pytest.FixtureRequest, live_server_process: ServedApp) -> Iterator[ServedApp]:
    if request.param == "folder":
        yield live_server_process
        return
    with redis.running() as address:
        live_server_process.queue = address
        live_server_process.restart()
        yield live_server_process


def ask_for(app: ServedApp, task: str) -> None:
    """As the clock does each minute."""
    broker, options = queue(app.queue)
    client = Celery(broker=broker)
    client.conf.broker_transport_options = options
    client.send_task(task)


def mails(app: ServedApp) -> list[Path]:
    return sorted(app.mail.glob("*")) if app.mail.exists() else []


def test_whoever_is_not_back_is_told_of(served: ServedApp) -> None:
    owner = owner_of(served)
    owner.must("start_watch", **watch_args(back_by="2026-01-01T10:00:00Z"))
    with served.worker():
        ask_for(served, "heelwright.lone_work.tasks.keep_watch")
        deadline = time.monotonic() + MOST_SECONDS
        while not mails(served):
            assert time.monotonic() < deadline, (served.folder / "worker.log").read_text()
            time.sleep(0.1)
    [mail] = mails(served)
    told = message_from_bytes(mail.read_bytes(), policy=default)
    assert told["To"] == "noa@next-door.test"
    assert "noa@" not in (served.folder / "worker.log").read_text()


def test_a_plan_that_is_asked_for_is_made(served: ServedApp) -> None:
    owner = owner_of(served)
    day = datetime.now(UTC).date() + timedelta(days=2)
    asked = {"first": str(day), "last": str(day), "staff": [str(owner.staff)]}
    body = {"protocol": 2, "device": str(owner.id), "asked": asked}
    token = {"Authorization": f"Bearer {owner.token}"}
    with served.worker():
        run = ask(served.base_url, "POST", "/api/planning/runs", body, token).body
        assert run["state"] in ("waiting", "running", "done")
        deadline = time.monotonic() + MOST_SECONDS
        while run["state"] != "done":
            assert time.monotonic() < deadline, (served.folder / "worker.log").read_text()
            time.sleep(0.1)
            run = ask(served.base_url, "GET", NEWEST, headers=token).body["run"]
    assert run["plan"]["without_hours"] == [str(owner.staff)]


def test_what_the_clock_starts_is_there() -> None:
    app.loader.import_default_modules()
    assert {entry["task"] for entry in app.conf.beat_schedule.values()} <= set(app.tasks)
