"""The app is updated while work waits on the phone: it is all there, and arrives once (invariants
1, 2 and 14 of docs/sync.md).

`layout_2.json` is what the app of commit `2edf0cc`, the last of protocol 1, left in Chromium's
IndexedDB. It was dumped once, from a phone that had sent one client's card, then had no signal for
two more and a form half filled in. With it: what it signed in as, and the push that was answered.
All people in it are invented.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.database import logged
from tests.system.device import PASSWORD, Device, ask, of_kind
from tests.system.hands import Hands

HERE = Path(__file__).parent
OLD: dict[str, Any] = json.loads((HERE / "layout_2.json").read_text())
MAKE = (HERE / "old_database.js").read_text()
SENT, UNSENT = "Sent Invented", ("Una Unsent", "Vera Unsent")
FOUNDER = "founder@practice.test"

# What the server knew of the phone: its practice, its person, its token. Run inside the server.
KNOWN = """
import json, sys
from heelwright import clock
from heelwright.commandlog.act import Act
from heelwright.commandlog.history import writing
from heelwright.declarations import Power
from heelwright.people.founding import Founder, found_practice
from heelwright.people.team import open_practice
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.tenancy.signin import digest

then, password, now = json.loads(sys.stdin.readline()), sys.stdin.readline().strip(), clock.now()
place = {{name: then["practice"][name] for name in ("id", "name", "zone", "units")}}
founder = Founder("Founder", "{founder}", password)
found_practice(Practice(**place), founder, now)
with writing(now, pk=place["id"]) as practice:
    staff = Staff(practice=practice, email="old@practice.test", **then["staff"])
    staff.save()
    device = Device(
        id=then["device"], practice=practice, staff=staff, name="An old phone",
        token_digest=digest(then["token"]), enrolled_at=now,
    )
    device.save()
    act = Act(practice, staff, device, Power.PERMISSION, made_at=now, now=now)
    act.announce(staff)
    act.announce(device)
    open_practice(act, staff)
"""


@pytest.fixture
def server(live_server_process: ServedApp) -> ServedApp:
    """As it was when the old app was last heard of: the phone is known, and so is what it sent."""
    then = OLD["signed_in"]
    typed = f"{json.dumps(then)}\n{PASSWORD}\n"
    live_server_process.manage("shell", "-c", KNOWN.format(founder=FOUNDER), typed=typed)
    bearer = {"Authorization": f"Bearer {then['token']}"}
    reply = ask(live_server_process.base_url, "POST", "/api/push", OLD["pushed"], bearer)
    assert {result["status"] for result in reply.body["results"]} == {"applied"}
    return live_server_process


@pytest.fixture
def hands(server: ServedApp, new_phone: Callable[[str], Phone]) -> Hands:
    """The phone with the old app's database, on which the app of today is opened."""
    phone = new_phone("old")
    page = phone.open()
    page.goto("/icon.svg")  # Of the app's origin, and not the app.
    page.evaluate(MAKE, OLD["database"])
    page.goto("/")
    return Hands(phone)


def test_work_that_waited_through_the_update_is_there_and_arrives_once(
    server: ServedApp, hands: Hands
) -> None:
    hands.type("Passphrase", OLD["passphrase"])
    hands.tap("Unlock")
    hands.waits_until_sent()
    office = Device.sign_in(server.base_url, FOUNDER)
    clients = [row["name"] for row in of_kind(office.pull(), "client").values()]
    assert sorted(clients) == sorted([SENT, *UNSENT])
    mine = [entry for entry in logged(server) if entry.device == OLD["signed_in"]["device"]]
    assert [(entry.seq, entry.name, entry.status) for entry in mine] == [
        (1, "register_client", "applied"), (2, "assign_client", "applied"),
        (3, "register_client", "applied"), (4, "assign_client", "applied"),
        (5, "register_client", "applied"), (6, "assign_client", "applied"),
    ]  # fmt: skip
    waiting = [command["id"] for _, command in OLD["database"]["stores"]["outbox"]["entries"]]
    assert [entry.id for entry in mine][2:] == waiting


def test_without_a_signal_it_is_counted_and_shown_and_the_half_filled_form_goes_on(
    server: ServedApp, hands: Hands
) -> None:
    hands.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    hands.page.reload()
    server.stop()
    hands.type("Passphrase", OLD["passphrase"])
    hands.tap("Unlock")
    expect(hands.page.get_by_role("button", name="Lock")).to_be_visible()
    hands.page.goto("/#/clients")
    for name in (SENT, *UNSENT):
        hands.sees(name)
    hands.page.goto("/#/clients/new")
    expect(hands.page.get_by_label("Name", exact=True)).to_have_value("Half Written")
    server.start()
    hands.page.evaluate("dispatchEvent(new Event('online'))")
    hands.waits_until_sent()
    assert {entry.status for entry in logged(server)} == {"applied"}
