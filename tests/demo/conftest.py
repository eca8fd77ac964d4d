"""The invented practice, loaded once for all tests here and rolled back after them."""

import random
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from django.conf import settings
from django.db import connection, transaction
from pytest_django.plugin import DjangoDbBlocker

from heelwright.settings.demonstration.load import Loaded, load
from tests.run_length import LONG

# A Wednesday; the year before it has both changes of the clock in it.
NOW = datetime(2026, 11, 25, 6, 30, tzinfo=UTC)
FOLDER = settings.PROJECT / "demo_data"


@pytest.fixture(scope="module")
def loaded(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Loaded]:
    """On PostgreSQL in the long run only: the demo is made for SQLite and takes minutes there."""
    if connection.vendor != "sqlite" and not LONG:
        pytest.skip("the demo is made for SQLite; on PostgreSQL it is loaded in the long run")
    with django_db_blocker.unblock(), transaction.atomic():
        yield load(FOLDER, NOW, random.Random(1))
        transaction.set_rollback(True)
