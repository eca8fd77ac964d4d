"""Making a client's data key and destroying it at the same moment, on two connections.

Whichever comes first, no data key outlives the destruction.
"""

import threading
import time
from collections.abc import Callable
from uuid import UUID

import pytest
from django.db import connection, transaction

from heelwright import vault
from heelwright.ids import new_id
from heelwright.vault.errors import SubjectShredded
from heelwright.vault.models import DataKey, Shredded

pytestmark = pytest.mark.django_db(transaction=True)

HELD_OPEN_SECONDS = 0.4


def seal_something(practice: UUID, client: UUID) -> None:
    vault.seal_bytes(vault.Place(practice, client, "trial", "note", "1"), b"a note")


def in_an_open_transaction(work: Callable[[], None]) -> threading.Thread:
    """Does the work on a connection of its own, and commits a while after this returns."""
    done = threading.Event()

    def run() -> None:
        try:
            with transaction.atomic():
                work()
                done.set()
                time.sleep(HELD_OPEN_SECONDS)
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    assert done.wait(10)
    return thread


def test_a_key_that_is_being_made_is_waited_for_and_destroyed(practice: UUID) -> None:
    client = new_id()
    other = in_an_open_transaction(lambda: seal_something(practice, client))
    vault.shred(client)
    other.join()
    assert not DataKey.objects.filter(subject=client).exists()
    assert Shredded.objects.filter(subject=client).exists()


def test_a_key_that_is_being_destroyed_is_not_made_again(practice: UUID) -> None:
    client = new_id()
    seal_something(practice, client)
    other = in_an_open_transaction(lambda: vault.shred(client))
    started = time.monotonic()
    with pytest.raises(SubjectShredded):
        # What comes after the destruction has committed, and what found the key before it did.
        while time.monotonic() - started < 10:
            seal_something(practice, client)
    other.join()
    assert not DataKey.objects.filter(subject=client).exists()


def test_two_at_once_make_one_key(practice: UUID) -> None:
    client = new_id()
    other = in_an_open_transaction(lambda: seal_something(practice, client))
    seal_something(practice, client)
    other.join()
    assert DataKey.objects.filter(subject=client).count() == 1
