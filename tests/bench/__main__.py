"""`make bench`: measures first load, idle pull and cold start; prints docs/bench.md's tables anew.

`--write` puts them into docs/bench.md. Figures, no pass or fail: times of one machine are no test.
"""

import os
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from heelwright.vault import keyfile
from tests.bench import phone_start, pulls, report
from tests.bench.practice import fill
from tests.services.phone import Phone
from tests.services.proxy import FaultingProxy
from tests.services.served import ServedApp

FEW, MANY = 48, 5000


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="heelwright-bench-") as name:
        folder = Path(name)
        keyfile.make(folder / "keys.json")
        database = f"sqlite:///{folder / 'heelwright.sqlite3'}"
        with ServedApp(folder, database, folder / "keys.json") as app:
            text = measured(app, folder)
    sys.stdout.write(text)
    if "--write" in sys.argv:
        report.write(text)


def measured(app: ServedApp, folder: Path) -> str:
    owners = {count: fill(app, f"owner{count}@practice.test", count) for count in (FEW, MANY)}
    set_up_django(app)
    counted = {count: pulls.first_and_idle(owner) for count, owner in owners.items()}
    starts, scripts = {}, None
    with sync_playwright() as playwright, FaultingProxy(app.base_url) as network:
        for count in owners:
            email = f"owner{count}@practice.test"
            phone = Phone(playwright, folder / f"phone-{count}", network.url)
            scripts = phone_start.first_load(phone, email, count)
            starts[count] = phone_start.cold_start(phone, network)
    assert scripts is not None
    return report.tables(counted, scripts, starts)


def set_up_django(app: ServedApp) -> None:
    """This process on the served app's database, to count its queries."""
    os.environ["DJANGO_SETTINGS_MODULE"] = "heelwright.settings.demo"
    os.environ["HEELWRIGHT_DATABASE_URL"] = app.database_url
    os.environ["HEELWRIGHT_KEY_FILE"] = str(app.key_file)
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    import django

    django.setup()


if __name__ == "__main__":
    main()
