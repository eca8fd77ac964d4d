"""Faults of the network while a phone pushes: no entry twice, no entry lost, through real screens.

The faults are the proxy's, so that they meet the phone's own retries. Invariants 1 to 3 and 11 of
docs/sync.md; no published source.
"""

from collections import Counter
from collections.abc import Callable

import pytest

from tests.services.phone import Phone
from tests.services.proxy import Fault, FaultingProxy
from tests.services.served import ServedApp
from tests.system.database import logged
from tests.system.device import Device, of_kind
from tests.system.hands import Hands
from tests.system.practice import owner_of

OWNER = "owner@practice.test"
NAMES = ("Una Unsent", "Vera Waiting", "Wilma Written")


@pytest.fixture
def other(live_server_process: ServedApp) -> Device:
    return owner_of(live_server_process)


def register_offline(hands: Hands) -> None:
    for name in NAMES:
        hands.page.goto("/#/clients/new")
        hands.type("Name", name)
        hands.type("Date of birth", "1950-05-17")
        hands.tap("Save")
        hands.sees_heading(name)


@pytest.mark.parametrize(
    ("fault", "times"),
    [
        (Fault.CUT_REQUEST, 2),
        (Fault.DROP_REPLY, 1),
        (Fault.DROP_REPLY, 2),
        (Fault.DUPLICATE, 1),
        (Fault.HTML, 1),
    ],
    ids=["cut in the middle", "reply lost", "reply lost twice", "sent twice", "portal page"],
)
def test_every_entry_arrives_once(
    live_server_process: ServedApp,
    faulting_proxy: FaultingProxy,
    new_phone: Callable[[str], Phone],
    other: Device,
    fault: Fault,
    times: int,
) -> None:
    phone = new_phone("owner")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    phone.context.set_offline(True)
    register_offline(hands)
    before = faulting_proxy.count("/api/push")

    faulting_proxy.break_next("/api/push", fault, times)
    phone.context.set_offline(False)
    hands.waits_until_sent()
    met = [seen.fault for seen in faulting_proxy.seen if seen.path == "/api/push"][before:]
    assert met.count(fault) == times
    assert met[-1] is None or fault is Fault.DUPLICATE

    log = [entry for entry in logged(live_server_process) if entry.device != str(other.id)]
    assert [entry.seq for entry in log] == list(range(1, len(NAMES) * 2 + 1))
    assert Counter(entry.name for entry in log) == {"register_client": 3, "assign_client": 3}
    assert {entry.status for entry in log} == {"applied"}
    names = [row["name"] for row in of_kind(other.pull(), "client").values()]
    assert sorted(names) == sorted(NAMES)
    hands.page.goto("/#/clients")
    hands.sees("3 clients")
