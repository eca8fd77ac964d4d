"""The kit in a visit, without signal: a set is taken, its bit written down, the rest named at
sign-off, and all of it is on the server afterwards.

Check: the project's own rules, decision 0180; pi times 6 mm times 9,000 a minute is 2.83 m/s.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

import pytest
from playwright.sync_api import expect

from tests.kit.hands import BIT, lot_card, machine_card, product_card, set_card
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.furnished import Furnished, furnish
from tests.system.hands import Hands, shown
from tests.system.kit_bag import KitBag
from tests.system.unsent import signed_in

FROM_THE_SET = "Large diamond, head 6 mm, shank 2.35 mm, at most 20,000 turns a minute"
TWO_GLOVES = "2 \N{MULTIPLICATION SIGN} Blue gloves, lot A1"
TWO_BANDS = "2 \N{MULTIPLICATION SIGN} Bands, lot A1"
READY = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}


@dataclass
class InTheBag:
    practice: Furnished
    kit: KitBag
    clean: str
    dirty: str
    machine: str
    load: str
    gloves: str


@pytest.fixture
def bag(live_server_process: ServedApp) -> InTheBag:
    practice = furnish(live_server_process)
    kit = KitBag(practice.owner)
    clean = kit.register(set_card("Blue roll", {**BIT, "most_rpm": 20_000}, {"kind": "nippers"}))
    dirty = kit.register(set_card("Red roll"))
    machine = kit.register(machine_card())
    load = kit.through(machine, clean)
    gloves = kit.register(lot_card(name="Blue gloves"))
    kit.register(lot_card(name="Old gloves", expires_on="2020-01-31"))
    kit.register(lot_card(name="Bands", supply="sanding_band"))
    kit.register(lot_card(name="Buffers", supply="buffer"))
    kit.register(product_card(name="Ready wipes", used_for="surfaces", **READY))
    return InTheBag(practice, kit, clean, dirty, machine, load, gloves)


def begin(hands: Hands, bag: InTheBag) -> None:
    hands.page.goto(f"/#/booking/{bag.practice.ready.booking}/visit")
    hands.tap("Start the visit")
    hands.sees("No set was taken for this client yet.")
    assert above(hands, "Sets", "Limits for this client")


def above(hands: Hands, first: str, then: str) -> bool:
    """Of two headings, by where they stand on the page."""
    tops = [
        hands.page.get_by_role("heading", name=name, exact=True).bounding_box()
        for name in (first, then)
    ]
    return bool(tops[0] and tops[1] and tops[0]["y"] < tops[1]["y"])


def stands_in_the_bar(hands: Hands, name: str) -> None:
    """At the lower end of the screen, without a scroll, with the page at its top."""
    hands.page.evaluate("scrollTo(0, 0)")
    button = hands.page.get_by_role("button", name=name)
    expect(button).to_be_in_viewport(ratio=1)
    box, size = button.bounding_box(), hands.page.viewport_size
    assert box and size and box["y"] + box["height"] > size["height"] - 40


def take(hands: Hands, name: str) -> None:
    hands.page.get_by_role("button", name=name).click()


def test_a_set_is_taken_used_and_named(new_phone: Callable[[str], Phone], bag: InTheBag) -> None:
    phone = new_phone("owner")
    hands = signed_in(phone)
    phone.context.set_offline(True)
    begin(hands, bag)
    hands.tap("Take a set")
    hands.page.get_by_text("sets that can").click()
    take(hands, "Red roll")
    hands.sees("Do not use this set")
    hands.sees("No cycle is on record for it yet.")
    expect(hands.page.get_by_role("button", name="Use it for")).to_have_count(0)
    hands.tap("Another set")
    take(hands, "Blue roll")
    stands_in_the_bar(hands, "Use it for Ida Invented")
    hands.tap("Use it for Ida Invented")
    hands.sees("Taken at ")
    hands.sees_heading("Visit")

    hands.tap("Add a bit")
    hands.choose_in("Which bit of your sets?", FROM_THE_SET)
    hands.type("Speed (turns a minute)", "25000")
    hands.sees("That is faster than this bit bears.")
    hands.type("Speed (turns a minute)", "9000")
    hands.sees("This bit bears at most 20,000 turns a minute.")
    hands.sees("2.83 m/s")
    hands.choose_in("Where?", "Right heel")
    hands.tap("Keep")
    # A form is on disk half a second after it was changed last.
    hands.page.wait_for_timeout(1000)
    hands.page.reload()
    hands.unlock()
    hands.sees("Taken at ")
    hands.tap("Go to sign-off")
    signed_off(hands)
    names_its_sets(hands, bag)
    phone.context.set_offline(False)
    hands.waits_until_sent()
    on_the_server(bag)


def signed_off(hands: Hands) -> None:
    hands.sees_heading("Single-use items")
    offered = hands.page.get_by_role("group", name="A visit like this usually takes").get_by_role(
        "button"
    )
    expect(offered).to_have_text([TWO_GLOVES, TWO_BANDS])
    expect(hands.page.get_by_role("group", name="Blue gloves")).to_have_count(0)
    hands.tap(TWO_GLOVES)
    expect(offered).to_have_text([TWO_BANDS])
    gloves = hands.page.get_by_role("group", name="Blue gloves")
    expect(gloves.locator("output")).to_have_text("2")
    expect(hands.page.get_by_text("Old gloves")).to_have_count(0)
    gloves.get_by_role("button", name="One more").click()
    hands.choose("Ready wipes, wet for 10 min")
    hands.tap("Ready wipes: wet for 10 min")
    expect(hands.page.get_by_role("timer")).to_have_text(re.compile(r"^(10:00|9:5\d)$"))
    hands.tap("Into the dirty box")
    expect(hands.page.get_by_text("Into the dirty box")).to_have_count(0)
    hands.type("In how many weeks?", "5")
    hands.tap("Sign off")
    hands.sees_heading("Aftercare")


def names_its_sets(hands: Hands, bag: InTheBag) -> None:
    """After sign-off, on the visit, and in the history of the client; from there to the set."""
    page, thing = hands.page, bag.kit.thing(bag.clean)
    began = of_kind(bag.practice.owner.pull(), "kit_load")[bag.load]["started_at"]
    day = f"Cycle of {format_day(began)}"
    link = page.get_by_role("link", name=f"Blue roll ({shown(thing['label'])})", exact=True)
    ready, done = bag.practice.ready, bag.practice.done
    for address in ("", f"booking/{ready.booking}/visit", f"client/{ready.client}"):
        if address:
            page.goto(f"/#/{address}")
        expect(link).to_be_visible()
        hands.sees(day)
    for address in (f"visit/{done.visit}/aftercare", f"client/{done.client}"):
        page.goto(f"/#/{address}")
        hands.sees("No set is on record.")
    page.goto(f"/#/client/{ready.client}")
    link.click()
    hands.sees_heading("Blue roll")


def format_day(at: str) -> str:
    """As the page says it: 27 November 2026."""
    day = datetime.fromisoformat(at)
    return f"{day.day} {day:%B %Y}"


def on_the_server(bag: InTheBag) -> None:
    rows = bag.practice.owner.pull()
    uses = of_kind(rows, "kit_use").values()
    assert {row["client"] for row in uses} == {str(bag.practice.ready.client)}
    used = {row["thing"]: row for row in uses}
    assert used[bag.clean]["loads"] == [bag.load]
    assert used[bag.clean]["flags"] == []
    assert used[bag.gloves]["count"] == 3
    assert len(used) == 3
    things = of_kind(rows, "kit_thing")
    assert things[bag.gloves]["left"] == 97
    assert [step["what"] for step in things[bag.clean]["steps"]][-2:] == ["use", "soil"]
    states = {row["state"] for row in of_kind(rows, "visit").values()}
    assert "started" not in states


def test_bits_without_a_set_are_asked_about_once_and_an_unready_one_is_told(
    new_phone: Callable[[str], Phone], bag: InTheBag
) -> None:
    phone = new_phone("owner")
    hands = signed_in(phone)
    begin(hands, bag)
    hands.tap("Add a bit")
    hands.choose("Large diamond")
    hands.type("Width of the head (mm)", "6")
    hands.type("Speed (turns a minute)", "9000")
    hands.choose_in("Where?", "Right heel")
    hands.tap("Keep")
    hands.tap("Go to sign-off")
    hands.type("In how many weeks?", "5")
    hands.sees("Still missing: which set was used")
    hands.tap("No set was used")
    sign = hands.page.get_by_role("button", name="Sign off", exact=True)
    expect(sign).to_be_enabled()
    hands.tap("Name a set")
    hands.page.get_by_text("sets that can").click()
    take(hands, "Red roll")
    stands_in_the_bar(hands, "It was used all the same")
    hands.tap("It was used all the same")
    hands.sees_heading("Sign-off")
    hands.sees("This set was not given out")
    hands.tap("Sign off")
    hands.sees_heading("Aftercare")
    hands.sees("Used: Red roll.")
    hands.waits_until_sent()
    rows = bag.practice.owner.pull()
    uses = of_kind(rows, "kit_use").values()
    (use,) = [row for row in uses if row["thing"] == bag.dirty]
    assert use["flags"] == ["no_cycle_yet"]
    codes = [row["code"] for row in of_kind(rows, "incident").values()]
    assert "set_used_unready" in codes
