"""One phone of a practice's owner, the network before it, and what the server says afterwards.

For the faults of a phone: what the person reads, that nothing saved is lost, and that nothing
arrives twice.
"""

import os
from collections import Counter
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zlib import crc32

from playwright.sync_api import CDPSession, Page, expect

from tests.services.proxy import FaultingProxy
from tests.services.served import ServedApp
from tests.system.database import Logged, logged
from tests.system.device import Device, of_kind
from tests.system.hands import Hands

OWNER = "owner@practice.test"
PICTURES = os.environ.get("HEELWRIGHT_PICTURES")


def born(name: str) -> str:
    """One day for each name: two of one day whose names have a word in common look like one."""
    return (date(1930, 1, 1) + timedelta(days=crc32(name.encode()) % 9_000)).isoformat()


@dataclass
class Scene:
    app: ServedApp
    other: Device
    proxy: FaultingProxy
    hands: Hands
    before: set[str] = field(init=False)

    def __post_init__(self) -> None:
        self.before = {entry.id for entry in logged(self.app)}

    @property
    def page(self) -> Page:
        return self.hands.page

    def sign_in(self) -> None:
        self.hands.phone.open()
        self.sign_in_here()

    def sign_in_here(self) -> None:
        """On the phone that is open, prepared as the test wants it."""
        self.hands.sign_in(OWNER)
        self.hands.waits_until_sent()

    def go_offline(self) -> None:
        self.hands.phone.context.set_offline(True)

    def go_online(self) -> None:
        self.hands.phone.context.set_offline(False)

    def fill_in(self, name: str, hands: Hands | None = None) -> None:
        """A new client's card, not saved."""
        hands = hands or self.hands
        hands.page.goto("/#/clients/new")
        hands.type("Name", name)
        hands.type("Date of birth", born(name))

    def register(self, name: str, hands: Hands | None = None) -> None:
        """Two entries: the client, and who looks after them."""
        self.fill_in(name, hands)
        (hands or self.hands).tap("Save")
        (hands or self.hands).sees_heading(name)

    def holds(self, name: str, hands: Hands | None = None) -> None:
        """The card that is being filled in still has what was typed."""
        page = (hands or self.hands).page
        expect(page.get_by_label("Name", exact=True)).to_have_value(name)
        expect(page.get_by_label("Date of birth", exact=True)).to_have_value(born(name))

    def logged(self) -> list[Logged]:
        """What this scene's phone has brought to the server, in the order of its numbers."""
        return [entry for entry in logged(self.app) if entry.id not in self.before]

    def arrived_once(self, *names: str) -> None:
        """These clients, in this order, each by one entry, and nothing else."""
        log = self.logged()
        assert [entry.seq for entry in log] == list(range(1, 2 * len(names) + 1))
        assert {entry.status for entry in log} <= {"applied"}, log
        assert [entry.name for entry in log] == ["register_client", "assign_client"] * len(names)
        known = Counter(row["name"] for row in of_kind(self.other.pull(), "client").values())
        assert {name: known[name] for name in names} == dict.fromkeys(names, 1)

    def browser(self, method: str, **parameters: Any) -> Any:
        """Asks the browser itself, past the page."""
        session: CDPSession = self.hands.phone.context.new_cdp_session(self.page)
        return session.send(method, {"origin": self.proxy.url, **parameters})

    def picture(self, name: str) -> None:
        """With HEELWRIGHT_PICTURES: what the person sees, from the top of the screen."""
        if PICTURES:
            self.page.evaluate("scrollTo(0, 0)")
            self.page.screenshot(path=Path(PICTURES).parent / "faults" / f"{name}.png")


class Tab(Hands):
    """The same person at a further tab of the same phone."""

    def __init__(self, hands: Hands) -> None:
        super().__init__(hands.phone)
        self._page = hands.phone.context.new_page()

    @property
    def page(self) -> Page:
        return self._page

    def open(self) -> None:
        self.page.goto("/")
        self.unlock()
