"""Bugs that the simulator must find, put into this process's server or into its phones' program.

None of them touches a source file. Those of the phone are made by `bundle.mjs`.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any

from django.db import transaction

from heelwright.commandlog import history, receive
from heelwright.commandlog.carry_out import carry_out
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.people import api as people
from heelwright.tenancy.models import Device, Practice

# More than any delivery needs.
RESERVED = 1000


def no_idempotency_check() -> None:
    """What comes a second time is carried out a second time."""

    def take(practice: Practice, device: Device, envelope: Envelope, now: datetime) -> Receipt:
        if envelope.seq > device.last_seq + 1:
            return Receipt(id=envelope.id, seq=envelope.seq, status="held_back")
        device.last_seq = max(device.last_seq, envelope.seq)
        return carry_out(practice, device, envelope, now)

    receive._take = take


def number_outside_the_lock() -> None:
    """A writer takes its feed numbers in a transaction of their own, before the one that writes."""

    @contextmanager
    def writing(now: datetime, **which: Any) -> Iterator[Practice]:
        with transaction.atomic():
            practice = Practice.objects.select_for_update(of=("self",)).get(**which)
            before = practice.feed_seq
            practice.feed_seq = before + RESERVED
            history._mark(practice, now)
        practice.feed_seq = before
        with transaction.atomic():
            yield practice

    receive.writing = people.writing = writing  # type: ignore[attr-defined]


SERVER_BUGS: dict[str, Callable[[], None]] = {
    "no_idempotency_check": no_idempotency_check,
    "number_outside_the_lock": number_outside_the_lock,
}
PHONE_BUGS = ("no_replay",)
BUGS = (*SERVER_BUGS, *PHONE_BUGS)
