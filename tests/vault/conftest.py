"""Tables for the trial models, and the raw bytes that a test compares them with."""

from collections.abc import Callable, Iterator
from uuid import UUID

import pytest
from django.db import connection, models
from pytest_django import DjangoDbBlocker

from heelwright.ids import new_id
from tests.vault.trial_models import TRIAL_MODELS

RawColumn = Callable[[models.Model, str], bytes]


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[None]:
    """The test database, and in it the tables of the trial models, for the tests of this folder."""
    with django_db_blocker.unblock(), connection.schema_editor() as editor:
        for model in TRIAL_MODELS:
            editor.create_model(model)
    yield
    with django_db_blocker.unblock(), connection.schema_editor() as editor:
        for model in reversed(TRIAL_MODELS):
            editor.delete_model(model)


@pytest.fixture
def practice() -> UUID:
    return new_id()


@pytest.fixture
def raw() -> RawColumn:
    """What the column holds, read past the field."""

    def read(row: models.Model, column: str) -> bytes:
        table = row._meta.db_table
        key = row._meta.pk.get_db_prep_value(row.pk, connection)
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT {column} FROM {table} WHERE id = %s", [key])
            return bytes(cursor.fetchone()[0])

    return read
