"""Whatever phones do at once, in whatever order, the sync keeps its word.

Check: the invariants of docs/sync.md, by their numbers (tests/sync/machine.py, at_rest.py). Faults
that are planted in the server must be found, each on both databases.
"""

import itertools
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from datetime import datetime
from threading import Event
from typing import Any

import pytest
from django.db import connection
from hypothesis.errors import FlakyFailure

from heelwright.commandlog import receive as receiving
from heelwright.commandlog.carry_out import carry_out
from heelwright.commandlog.history import writing
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.sync import pull as pulling
from heelwright.tenancy.models import Device, Practice
from tests.run_length import runs
from tests.sync import at_rest
from tests.sync.crowd import Crowd
from tests.sync.machine import run
from tests.world import make_world

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def small_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pulling, "PAGE", 5)


def test_whatever_happens_at_once_the_invariants_hold() -> None:
    run(examples=runs(short=6, long=200), steps=12)


def found() -> str:
    """Runs until something is found to be wrong; tells what. Threads make no two runs alike, so
    that Hypothesis calls it flaky."""
    with pytest.raises((AssertionError, FlakyFailure)) as failure:
        run(examples=400, steps=12)
    told = failure.value
    parts = told.exceptions if isinstance(told, FlakyFailure) else [told]
    return "\n".join(map(str, parts))


@pytest.mark.one_database  # of the run itself, which the test above has on each
def test_a_server_that_takes_every_delivery_for_new_is_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def take(practice: Practice, device: Device, envelope: Envelope, now: datetime) -> Receipt:
        if envelope.seq > device.last_seq + 1:
            return Receipt(id=envelope.id, seq=envelope.seq, status="held_back")
        device.last_seq = max(device.last_seq, envelope.seq)
        return carry_out(practice, device, envelope, now)

    monkeypatch.setattr(receiving, "_take", take)
    assert "done twice" in found()


def test_numbers_given_out_before_the_lock_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Unique they are, but a later one may commit first, and a reader pass the other by."""
    thousands = itertools.count(1)
    numbered, overtaken = Event(), Event()

    @contextmanager
    def numbered_early(now: datetime, **which: Any) -> Iterator[Practice]:
        number = next(thousands) * 1000
        if number == 1000:
            numbered.set()
            assert overtaken.wait(timeout=20)
        with writing(now, **which) as practice:
            highest, practice.feed_seq = practice.feed_seq, number
            yield practice
            practice.feed_seq = max(highest + 1, practice.feed_seq)

    crowd = Crowd.of(make_world())
    monkeypatch.setattr(receiving, "writing", numbered_early)
    reader, slow = crowd.people["owner"], crowd.people["technician"]

    def register() -> None:
        try:
            slow.hand.register()
        finally:
            connection.close()

    reader.phone.sync()
    with ThreadPoolExecutor(1) as thread:
        running = thread.submit(register)
        assert numbered.wait(timeout=20)
        crowd.people["colleague"].hand.register()
        reader.phone.sync()
        overtaken.set()
        running.result()
    with pytest.raises(AssertionError, match="owner"):
        at_rest.check_phone(crowd, reader)
