"""A coordinator's round from sign-in to a cancelled repeat, by the keyboard alone, on a tablet and
on a desk. Check: our own rules; the focus: WCAG 2.2, 2.4.3, 2.4.7 and 2.4.11; axe as in test_axe.
"""

import os
import re
from collections.abc import Callable
from pathlib import Path
from uuid import UUID

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import PASSWORD, Device, of_kind
from tests.system.hands import PASSPHRASE, Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.keyboard import Keyboard
from tests.system.practice import hire, owner_of
from tests.system.test_axe import Looker
from tests.system.test_round import CORA, house_of

SIZES = {"tablet": (820, 1180), "desk": (1280, 800)}
ROOMS = {
    "Ana Invented": ("North", "9"),
    "Bo Invented": ("North", "10"),
    "Cy Invented": ("South", "1"),
}
KEPT = os.environ.get("HEELWRIGHT_PICTURES")
WEEKS = 2


class Walk:
    def __init__(self, app: ServedApp, phone: Phone, size: str) -> None:
        self.app, self.size = app, size
        self.owner = owner_of(app)
        cora = hire(app, self.owner, CORA, "coordinator")
        house = house_of(self.owner, cora)
        self.residents = {name: moved_in(self.owner, house, name) for name in ROOMS}
        width, height = SIZES[size]
        phone.open().set_viewport_size({"width": width, "height": height})
        phone.page.set_default_timeout(60_000)
        self.page, self.hands, self.keys = phone.page, Hands(phone), Keyboard(phone.page)
        self.looker = Looker(self.hands)

    def sees(self, words: str) -> None:
        self.hands.sees(words)

    def arrives(self, heading: str | re.Pattern[str]) -> None:
        """The heading of a new screen has the focus, so that it is read out."""
        expect(self.page.locator("h1:focus")).to_have_text(heading)

    def pictured(self, name: str) -> None:
        if KEPT:
            self.page.screenshot(path=Path(KEPT) / f"walk-{self.size}-{name}.png", full_page=True)


def moved_in(owner: Device, house: str, name: str) -> HomeVisit:
    corridor, room = ROOMS[name]
    one = HomeVisit(owner.staff)
    owner.must("register_client", **one.card(name=name, facility=house, room=room))
    owner.must("amend_client", client=one.client, seen=0, changes={"corridor": corridor})
    for said, args in (
        ("record_screen", one.screened()),
        ("record_foot_check", one.checked()),
        ("sign_consent", one.signed(signer_name=name)),
    ):
        owner.must(said, **args)
    return one


@pytest.mark.parametrize("size", SIZES)
def test_a_round_is_walked_through_by_keyboard(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone], size: str
) -> None:
    walk = Walk(live_server_process, new_phone("cora"), size)
    signs_in(walk)
    plans_and_books(walk)
    finds_it_and_prints(walk)
    answered_at_the_doors(walk)
    closes_it(walk)
    repeats_it_and_calls_it_off(walk)
    assert not walk.keys.unseen
    assert not walk.looker.found, "\n\n".join(walk.looker.found)


def signs_in(walk: Walk) -> None:
    keys = walk.keys
    walk.page.goto("/")
    keys.type("E-mail", CORA)
    keys.type("Password", PASSWORD)
    keys.press("Sign in")
    walk.hands.sees_heading("Choose a passphrase")
    keys.type("Passphrase", PASSPHRASE)
    keys.type("The same again", PASSPHRASE)
    keys.press("Use this passphrase")
    walk.arrives("Today")
    walk.hands.waits_until_sent()


def plans_and_books(walk: Walk) -> None:
    keys = walk.keys
    keys.press("Residents")
    walk.arrives("Residents")
    walk.pictured("residents")
    looks_who_is_due(walk)
    keys.press("Rounds")
    walk.arrives("Rounds")
    walk.pictured("rounds-none")
    keys.press("Plan a round")
    walk.arrives("Plan a round")
    keys.to("Day")
    # The browser itself speaks American English.
    walk.page.keyboard.type(noon_today().strftime("%m%d%Y"))
    keys.to("Begins at")
    walk.page.keyboard.type("1100")
    keys.press("Olive Owner", "Space")
    keys.press("Choose all")
    stops = walk.page.get_by_role("list", name="Stops of Olive Owner, in order").get_by_role(
        "listitem"
    )
    expect(stops).to_have_text([re.compile(name) for name in ("Cy", "Ana", "Bo")])
    # Lunch is left free.
    expect(stops.nth(2)).to_contain_text("13:00")
    keys.to("Move 10 · Bo Invented, place 3 of 3. Use the up and down keys.")
    keys.key("ArrowUp")
    keys.key("ArrowUp")
    expect(stops).to_have_text([re.compile(name) for name in ("Bo", "Cy", "Ana")])
    keys.press("Earlier: 9 · Ana Invented")
    expect(walk.page.locator(":focus")).to_have_attribute(
        "aria-label", re.compile("Ana Invented, place 2")
    )
    keys.press("Back to the walking order")
    expect(stops).to_have_text([re.compile(name) for name in ("Cy", "Ana", "Bo")])
    walk.pictured("plan")
    keys.press("Book 3 visits")
    walk.arrives(re.compile("^Round on "))
    walk.sees("3 stops")
    walk.hands.waits_until_sent()


def looks_who_is_due(walk: Walk) -> None:
    walk.keys.press("Who is due")
    walk.arrives("Who is due")
    walk.sees("No date said (3)")
    # The plans of technicians are not theirs.
    expect(walk.page.get_by_role("link", name="Plan ahead")).to_have_count(0)
    walk.pictured("due")
    walk.looker.look("due")
    walk.keys.press("Back")
    walk.arrives("Residents")


def finds_it_and_prints(walk: Walk) -> None:
    keys = walk.keys
    keys.press("Back")
    walk.arrives("Rounds")
    walk.pictured("rounds")
    opens_the_round(walk)
    walk.pictured("round")
    for paper in ("Door list (PDF)", "Handover sheet (PDF)"):
        walk.hands.opens_paper(paper, keys.press)
        expect(walk.page.locator(":focus")).to_have_text(paper)


def opens_the_round(walk: Walk) -> None:
    """The one that stands first."""
    line = walk.page.locator("a.round").first.inner_text()
    walk.keys.press(re.sub(r"\s+", " ", line).strip())
    walk.arrives(re.compile("^Round on "))


def answered_at_the_doors(walk: Walk) -> None:
    """By the technician, on a device of their own: two are seen and one refuses."""
    for booking, row in of_kind(walk.owner.pull(), "booking").items():
        [(name, one)] = [
            each for each in walk.residents.items() if str(each[1].client) == row["client"]
        ]
        one.booking = UUID(booking)
        if name == "Bo Invented":
            walk.owner.must("record_not_seen", booking=booking, code="refused", reason="")
        else:
            walk.owner.must("start_visit", **one.started())
            told = {"work_done": ["nails_cut"], "weeks_until_next": WEEKS}
            walk.owner.must("complete_visit", **one.completed(**told))


def closes_it(walk: Walk) -> None:
    keys = walk.keys
    expect(walk.page.get_by_text("3 stops without an answer")).to_be_visible()
    keys.press("Sync: All sent")
    keys.press("Sync now")
    walk.hands.waits_until_sent()
    keys.press("Today")
    walk.arrives("Today")
    keys.press("Round at Invented House: 3 of 3")
    walk.arrives(re.compile("^Round on "))
    walk.pictured("answered")
    keys.type("Note for those who walk it and for the house", "The lift was out of order.")
    keys.press("Close the round")
    expect(walk.page.locator(":focus")).to_have_text("This round is closed")
    expect(walk.page.get_by_text("Closed", exact=True)).to_be_visible()
    walk.hands.opens_paper("Handover sheet (PDF)", walk.keys.press)
    walk.hands.waits_until_sent()
    walk.pictured("closed")
    walk.looker.look("closed")
    keys.press("Back")
    walk.arrives("Rounds")
    walk.sees("Seen 2, not seen 1, open 0")
    walk.sees("1 resident was not seen")


def repeats_it_and_calls_it_off(walk: Walk) -> None:
    keys = walk.keys
    opens_the_round(walk)
    expect(walk.page.get_by_text("Closed", exact=True)).to_be_visible()
    keys.type("In how many weeks", str(WEEKS))
    walk.sees("with 3 residents so far")
    keys.press("Plan it again")
    walk.arrives("Plan a round")
    walk.sees("2 residents are due by that day")
    walk.pictured("again")
    keys.press("Book 3 visits")
    walk.arrives(re.compile("^Round on "))
    walk.hands.waits_until_sent()
    keys.press("Cancel the round")
    expect(walk.page.locator(":focus")).to_have_text("Cancel the round")
    keys.to("Moved away")
    walk.pictured("cancel")
    keys.press("Cancel the round and 3 visits")
    walk.arrives("Rounds")
    walk.sees("Cancelled")
    walk.hands.waits_until_sent()
    rows = of_kind(walk.owner.pull(), "round").values()
    assert sorted(row["state"] for row in rows) == ["cancelled", "closed"]
