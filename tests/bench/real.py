"""Our store with our real server, end to end: what of the first sync is the server's.

The same measures as in beside.py. The rulebook is fetched within the first sync here, and the
server packs its replies. The page is put at the server's own address, as the app is.
"""

import tempfile
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.beside import CHANGES, NOTE, Times, measures, middle
from tests.bench.loopback import PAGES
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import PASSWORD, Device, of_kind

RUNS = 3
FRAME = '<!doctype html><title>bench</title><script type="module" src="/peer.js"></script>'


def end_to_end(playwright: Playwright, app: ServedApp, owner: Device, email: str) -> Times:
    clients = list(of_kind(owner.pull(), "client"))[:CHANGES]

    def change() -> list[str]:
        for client in clients:
            owner.must("amend_client", client=client, seen=2**40, changes={"note": NOTE})
        return [f"client:{client}" for client in clients]

    taken: list[Times] = []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory(prefix="heelwright-peer-") as profile:
            phone = Phone(playwright, Path(profile), app.base_url)
            try:
                taken.append(measures(_opened(phone, email), change))
            finally:
                phone.close()
            _undo(owner, clients)
    return middle(taken)


def _undo(owner: Device, clients: Sequence[str]) -> None:
    for client in clients:
        owner.must("amend_client", client=client, seen=2**40, changes={"note": ""})


def _opened(phone: Phone, email: str) -> Page:
    page = phone.open()
    phone.context.route("**/bench.html", lambda route: route.fulfill(body=FRAME, headers=HTML))
    phone.context.route("**/peer.js", lambda route: route.fulfill(path=PAGES / "real.js"))
    page.goto("/bench.html")
    page.wait_for_function("'peer' in globalThis")
    # What is intercepted is slower, and so is all else while anything is.
    phone.context.unroute_all()
    page.evaluate("who => peer.open(who)", {"email": email, "password": PASSWORD})
    return page


HTML = {"Content-Type": "text/html"}
