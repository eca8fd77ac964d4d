"""A machine fails its spore test after its sets were used: from the entry under review to every
client, and from a client back to the cycle.

Check: the project's own rules, decision 0180.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from heelwright.ids import new_id
from tests.kit.hands import lot_card, machine_card, set_card
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device, of_kind
from tests.system.furnished import furnish
from tests.system.home_visit import HomeVisit
from tests.system.kit_bag import KitBag
from tests.system.practice import hire
from tests.system.unsent import signed_in


@dataclass
class Recalled:
    """Two sets, each from its own machine, were used on one client, and one on a technician's;
    then one machine failed."""

    owner: Device
    good: str


@pytest.fixture
def recalled(live_server_process: ServedApp) -> Recalled:
    practice = furnish(live_server_process)
    owner, kit = practice.owner, KitBag(practice.owner)
    blue, red, green = (kit.register(set_card(f"{name} roll")) for name in ("Blue", "Red", "Green"))
    bad, good = kit.register(machine_card()), kit.register(machine_card(name="Good one"))
    gloves = kit.register(lot_card(name="Blue gloves"))
    kit.through(bad, blue, green)
    kit.through(good, red)
    owner.must("start_visit", **practice.ready.started())
    now = datetime.now(UTC)
    blue_used, red_used, green_used = (
        {"use": str(new_id()), "set": one, "after": kit.last[one], "at": now.isoformat()}
        for one in (blue, red, green)
    )
    items = [{"use": str(new_id()), "lot": gloves, "count": 2, "at": now.isoformat()}]
    used = {"sets": [blue_used, red_used], "items": items, "products": []}
    owner.must("complete_visit", **practice.ready.completed(kit=used))
    tess = hire(live_server_process, owner, "tess@practice.test")
    hers = HomeVisit(tess.staff)
    tess.must("register_client", **hers.card(name="Tom Untrue"))
    used = {"sets": [green_used], "items": [], "products": []}
    tess.must("complete_visit", **hers.completed(kit=used))
    tested = {"tested_at": now - timedelta(hours=1), "read_at": now}
    failed = {"check": new_id(), "kind": "spore_test", "passed": False, "note": ""}
    owner.must("record_machine_check", machine=bad, **failed, **tested)
    return Recalled(owner, good)


def called_back(device: Device) -> dict[str, str | None]:
    """When each entry about what is called back was closed."""
    rows = of_kind(device.pull(), "incident").values()
    codes = {"machine_failed", "used_called_back"}
    return {row["code"]: row["closed_at"] for row in rows if row["code"] in codes}


def test_from_a_failed_check_to_every_client_and_back(
    new_phone: Callable[[str], Phone], recalled: Recalled
) -> None:
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/attention")
    hands.sees_heading("Invented steriliser")
    hands.sees("A check of a machine failed.")
    hands.sees("Spore test")
    hands.tap("Open the list of clients")
    hands.sees_heading("Where it was used")
    hands.sees("Call 2 clients: something used on them should not have been.")
    hands.sees("You see every client of the practice.")
    hands.sees("A check of the machine failed, so this cycle does not count.")
    hands.sees("Does not count")

    page.get_by_role("main").get_by_role("link", name="Ida Invented").click()
    hands.tap("What was used")
    hands.sees_heading("What was used")
    expect(page.get_by_text(re.compile("^2 . Blue gloves, lot A1$"))).to_be_visible()
    expect(page.get_by_text("It should not have been used")).to_have_count(1)
    hands.sees("Complete")
    page.goto(f"/#/kit/trace/machine/{recalled.good}")
    hands.sees("It reached 1 client.")
    expect(page.get_by_text("It should not have been used")).to_have_count(0)


def test_a_failed_check_is_first_and_once_under_attention_and_closes_with_all_that_tell_of_it(
    new_phone: Callable[[str], Phone], recalled: Recalled
) -> None:
    assert called_back(recalled.owner) == {"machine_failed": None, "used_called_back": None}
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/attention")
    headings = page.get_by_role("main").get_by_role("heading", level=2)
    expect(headings.first).to_have_text("Called back: 1")
    assert headings.count() > 1
    tab = page.get_by_role("navigation").get_by_role("link", name=re.compile("^Attention"))
    expect(tab.locator(".count")).to_have_text(str(page.locator("main section.card").count()))
    card = page.locator("main section").filter(has=page.get_by_text("A check of a machine failed."))
    expect(card).to_contain_text("Call 2 clients")
    expect(page.get_by_text("are called back")).to_have_count(0)
    card.get_by_label("What came of it").fill("All were called.")
    card.get_by_role("button", name="Close it").click()
    expect(page.get_by_text("Called back:")).to_have_count(0)
    hands.waits_until_sent()
    assert None not in called_back(recalled.owner).values()
