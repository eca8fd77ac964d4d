"""What every test has: the run's length, the mark of those that use the database, a PostgreSQL."""

import gc
from collections.abc import Iterator
from functools import cache
from itertools import count

import pytest
from django.conf import settings as settings_of_django
from hypothesis import HealthCheck, settings

from tests.run_length import runs
from tests.services.postgres import Postgres

RECOVERY_PAIRS = 4
DATABASE_FIXTURES = {"db", "transactional_db", "django_db_reset_sequences", "live_server"}

settings.register_profile(
    "heelwright",
    max_examples=runs(short=100, long=10_000),
    deadline=None,
    database=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
settings.load_profile("heelwright")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Marks what uses the database, so that `-m database` runs all of it again on PostgreSQL."""
    for item in items:
        fixtures = DATABASE_FIXTURES.intersection(getattr(item, "fixturenames", ()))
        if fixtures or item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)


def pytest_collection_finish() -> None:
    """What was collected stays to the end: the garbage collector need not look at it again, and at
    the rest more seldom."""
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(scope="session", autouse=True)
def few_recovery_pairs() -> Iterator[None]:
    """Pairs of the real kind and size, made for the run and not for each practice. They come in
    turn, so that practices of one test have their own; a served app makes each anew."""
    from heelwright.tenancy import recovery

    new_pair, turn = recovery.new_pair, count()
    made = cache(lambda _: new_pair())
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(recovery, "new_pair", lambda: made(next(turn) % RECOVERY_PAIRS))
        yield


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    """A real PostgreSQL, started at first use. Ask it for a fresh database: `create_database`."""
    with Postgres() as server:
        yield server


def pytest_report_header() -> str:
    return f"database: {settings_of_django.DATABASES['default']['ENGINE'].rpartition('.')[2]}"
