"""The real thing from end to end: the server as a process, a network with faults, a phone.

Everything in this folder is marked `system`.
"""

import fcntl
import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Generator, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Playwright

from heelwright.ids import new_id
from heelwright.vault import keyfile
from tests.services.hung import browsers_answer
from tests.services.phone import Phone
from tests.services.postgres import Postgres
from tests.services.proxy import FaultingProxy
from tests.services.served import ROOT, ServedApp
from tests.system.device import Device
from tests.system.hands import Hands
from tests.system.practice import owner_of, set_up
from tests.system.scene import Scene

# Playwright's event loop runs in the thread of the tests, where Django would refuse to ask the
# database. The tests do not ask it from inside a coroutine.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

HERE = Path(__file__).parent
LONGEST_SECONDS = 400
QUICK = "tests.services.quick_sign_in"


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.system)
            item.add_marker(pytest.mark.flaky(reruns=1, only_rerun="BrowserHung"))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None]:
    """Chromium at times hangs in a page's compositor; such a test is run once more, and told of."""
    with browsers_answer(LONGEST_SECONDS):
        return (yield)


@pytest.fixture(scope="session")
def built_pwa() -> None:
    """The phone app, built from the sources as they are now; the lock keeps two workers apart."""
    (ROOT / "var").mkdir(exist_ok=True)
    with (ROOT / "var" / "build.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        environment = {k: v for k, v in os.environ.items() if not k.startswith(("MAKE", "MFLAGS"))}
        subprocess.run(["make", "--silent", "build"], cwd=ROOT, env=environment, check=True)


def with_keys(folder: Path, database_url: str) -> ServedApp:
    key_file = folder / "keys.json"
    keyfile.make(key_file)
    return ServedApp(folder, database_url, key_file, QUICK)


@pytest.fixture(scope="session")
def empty_tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A SQLite database of today's tables. To lay them out takes longer than to start the server;
    one that lays them out itself is `live_server_on_postgres`."""
    folder = tmp_path_factory.mktemp("tables")
    file = folder / "empty.sqlite3"
    with_keys(folder, f"sqlite:///{file}").manage("migrate", "--verbosity", "0")
    return file


def on_sqlite(folder: Path, empty_tables: Path) -> ServedApp:
    """A server on tables of its own, not started."""
    file = folder / "heelwright.sqlite3"
    with closing(sqlite3.connect(empty_tables)) as tables:
        tables.execute("VACUUM INTO ?", (str(file),))
    return with_keys(folder, f"sqlite:///{file}")


@pytest.fixture(scope="session")
def new_practice(empty_tables: Path, tmp_path_factory: pytest.TempPathFactory) -> ServedApp:
    """A practice that nobody has worked in, set up once for all who take a copy; never started."""
    app = on_sqlite(tmp_path_factory.mktemp("new-practice"), empty_tables)
    set_up(app)
    return app


def copy_of(new_practice: ServedApp, folder: Path) -> ServedApp:
    """A server on a database and keys of its own. The copy is of whole files: none is open."""
    shutil.copytree(new_practice.folder, folder, dirs_exist_ok=True)
    file = folder / "heelwright.sqlite3"
    return ServedApp(folder, f"sqlite:///{file}", folder / "keys.json", QUICK)


@pytest.fixture
def live_server_process(
    built_pwa: None, new_practice: ServedApp, tmp_path: Path
) -> Iterator[ServedApp]:
    """The server of a new practice, on SQLite. Kill it and start it again at will."""
    with copy_of(new_practice, tmp_path) as app:
        yield app


@pytest.fixture
def live_server_on_postgres(
    built_pwa: None, tmp_path: Path, postgres: Postgres
) -> Iterator[ServedApp]:
    """The same server on a fresh database of a real PostgreSQL, which it has to lay out."""
    with with_keys(tmp_path, postgres.create_database(f"served_{tmp_path.name}")) as app:
        yield app


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def served_api(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[ServedApp]:
    """The server on each of its databases, once for a module that needs no phone app."""
    folder = tmp_path_factory.mktemp("served")
    if request.param == "sqlite":
        served = on_sqlite(folder, request.getfixturevalue("empty_tables"))
    else:
        url = request.getfixturevalue("postgres").create_database(f"api_{new_id().hex}")
        served = with_keys(folder, url)
    with served as app:
        yield app


@pytest.fixture(scope="module")
def one_practice(
    built_pwa: None, new_practice: ServedApp, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[ServedApp, Device]]:
    """A server and a device of its practice's owner, once for a module whose tests bring phones of
    their own."""
    folder = tmp_path_factory.mktemp("practice")
    with copy_of(new_practice, folder) as app:
        yield app, owner_of(app)


@pytest.fixture
def scene(
    one_practice: tuple[ServedApp, Device], playwright: Playwright, tmp_path: Path
) -> Iterator[Scene]:
    """A shut phone of the owner, with a network of its own before the module's server."""
    app, other = one_practice
    with FaultingProxy(app.base_url) as proxy:
        phone = Phone(playwright, tmp_path / "phone", proxy.url)
        yield Scene(app, other, proxy, Hands(phone))
        phone.close()


@pytest.fixture
def faulting_proxy(live_server_process: ServedApp) -> Iterator[FaultingProxy]:
    """The network between the phone and the server: `proxy.url` is the phone's address for it."""
    with FaultingProxy(live_server_process.base_url) as proxy:
        yield proxy


@pytest.fixture
def new_phone(
    playwright: Playwright, faulting_proxy: FaultingProxy, tmp_path: Path
) -> Iterator[Callable[[str], Phone]]:
    """Makes shut phones by name: `new_phone("anna").open()`. They go through the proxy."""
    phones: list[Phone] = []

    def make(name: str) -> Phone:
        phones.append(Phone(playwright, tmp_path / f"phone-{name}", faulting_proxy.url))
        return phones[-1]

    yield make
    for phone in phones:
        phone.close()


@pytest.fixture
def browser_context(new_phone: Callable[[str], Phone]) -> BrowserContext:
    """An open phone, for a test that needs one only and never shuts it."""
    phone = new_phone("only")
    phone.open()
    return phone.context
