"""`make bench`: measures the sync beside its peers, its cost on the server, first load and cold
start; prints docs/bench.md's tables anew.

`--write` puts them into docs/bench.md. Figures, no pass or fail: times of one machine are no test.
"""

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

from heelwright.vault import keyfile
from tests.bench import beside, killed, phone_start, phone_tables, recorded, report, server_tables
from tests.bench.loopback import bundle
from tests.bench.practice import fill
from tests.bench.real import end_to_end
from tests.bench.server import in_its_own_process
from tests.services.phone import Phone
from tests.services.proxy import FaultingProxy
from tests.services.served import ServedApp
from tests.system.device import Device

FEW, MANY = 48, 5000


def main() -> None:
    text = report.whole([*on_the_phone(), *on_the_server()])
    sys.stdout.write(text)
    if "--write" in sys.argv:
        report.write(text)


def on_the_phone() -> Iterator[str]:
    bundle()
    with tempfile.TemporaryDirectory(prefix="heelwright-bench-") as name:
        folder = Path(name)
        keyfile.make(folder / "keys.json")
        database = f"sqlite:///{folder / 'heelwright.sqlite3'}"
        with ServedApp(folder, database, folder / "keys.json") as app, sync_playwright() as it:
            owners = {count: fill(app, _email(count), count) for count in (FEW, MANY)}
            yield from starts(it, app, folder)
            yield from peers(it, app, owners[MANY])


def starts(playwright: Playwright, app: ServedApp, folder: Path) -> Iterator[str]:
    measured, scripts = {}, None
    with FaultingProxy(app.base_url) as network:
        for count in (FEW, MANY):
            phone = Phone(playwright, folder / f"phone-{count}", network.url)
            scripts = phone_start.first_load(phone, _email(count), count)
            measured[count] = phone_start.cold_start(phone, network)
    assert scripts is not None
    yield phone_tables.scripts(scripts)
    yield phone_tables.cold_starts(measured)


def peers(playwright: Playwright, app: ServedApp, owner: Device) -> Iterator[str]:
    file = recorded.record(app, owner, _email(MANY))
    times = beside.compared(playwright, file)
    yield phone_tables.beside(times, end_to_end(playwright, app, owner, _email(MANY)))
    yield phone_tables.killed(killed.kept(playwright, file))


def on_the_server() -> Iterator[str]:
    served = {name: in_its_own_process(name) for name in server_tables.DATABASES}
    yield server_tables.costs(served)
    yield server_tables.grown(served["postgresql"].grown)
    yield server_tables.plans(served["postgresql"].grown)
    yield server_tables.crowds(served)


def _email(count: int) -> str:
    return f"owner{count}@practice.test"


if __name__ == "__main__":
    main()
