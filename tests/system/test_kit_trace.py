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
from tests.system.furnished import furnish
from tests.system.kit_bag import KitBag
from tests.system.unsent import signed_in


@dataclass
class Recalled:
    """Two sets, each from its own machine, were used on one client; then one machine failed."""

    good: str


@pytest.fixture
def recalled(live_server_process: ServedApp) -> Recalled:
    practice = furnish(live_server_process)
    owner, kit = practice.owner, KitBag(practice.owner)
    blue, red = kit.register(set_card("Blue roll")), kit.register(set_card("Red roll"))
    bad, good = kit.register(machine_card()), kit.register(machine_card(name="Good one"))
    gloves = kit.register(lot_card(name="Blue gloves"))
    kit.through(bad, blue)
    kit.through(good, red)
    owner.must("start_visit", **practice.ready.started())
    now = datetime.now(UTC)
    sets = [
        {"use": str(new_id()), "set": one, "after": kit.last[one], "at": now.isoformat()}
        for one in (blue, red)
    ]
    items = [{"use": str(new_id()), "lot": gloves, "count": 2, "at": now.isoformat()}]
    used = {"sets": sets, "items": items, "products": []}
    owner.must("complete_visit", **practice.ready.completed(kit=used))
    tested = {"tested_at": now - timedelta(hours=1), "read_at": now}
    failed = {"check": new_id(), "kind": "spore_test", "passed": False, "note": ""}
    owner.must("record_machine_check", machine=bad, **failed, **tested)
    return Recalled(good)


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
    hands.sees("Call 1 client: something used on them should not have been.")
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
