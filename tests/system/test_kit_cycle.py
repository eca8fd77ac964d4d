"""Cycles, solutions and checks of machines on the phone, and what the server makes of them.

Check: our own rules (decision 0180). The steriliser's 4 minutes at 132 degrees: CDC 2008, Table 7;
95 ml of 5.25 % in a litre for 5,000 ppm: tests/parity/dilution.json names its source.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.kit.hands import machine_card, mix_args, product_card, set_card
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device, Json, of_kind
from tests.system.hands import Hands, shown
from tests.system.kit_bag import KitBag, ago
from tests.system.practice import ZONE, owner_of
from tests.system.unsent import signed_in

WRAPPED = "In pouches, 132 °C (270 °F), 4 minutes, then dry for 20 to 30 minutes"
STERILISER = "Invented steriliser (Autoclave with a vacuum pump)"
SOAK_MINUTES = 0.7
LEFT_ALONE = "dispatchEvent(new Event('pagehide'))"
# What a phone feels cannot be seen from outside.
FELT = """() => {
  window.felt = [];
  navigator.vibrate = (pattern) => window.felt.push(pattern);
}"""

LINES_OF_CODES = """() => {
  const text = document.createTreeWalker(document.querySelector("main"), NodeFilter.SHOW_TEXT);
  const lines = [];
  while (text.nextNode()) {
    const found = /[0-9A-Z]{4}[-\\u2011][0-9A-Z]{4}/.exec(text.currentNode.data);
    if (!found) continue;
    const code = document.createRange();
    code.setStart(text.currentNode, found.index);
    code.setEnd(text.currentNode, found.index + found[0].length);
    lines.push(new Set([...code.getClientRects()].map(({ top }) => top)).size);
  }
  return lines;
}"""


@dataclass
class Bag:
    owner: Device
    kit: KitBag
    sharp: str
    lamp: str
    machine: str
    bleach: str

    def loads(self) -> list[Json]:
        return list(of_kind(self.owner.pull(), "kit_load").values())

    def last_step(self, thing: str) -> Json:
        steps = {step["id"]: step for step in self.kit.thing(thing)["steps"]}
        (head,) = self.kit.look(thing)
        return dict(steps[head])


@pytest.fixture
def bag(live_server_process: ServedApp) -> Bag:
    owner = owner_of(live_server_process)
    kit = KitBag(owner)
    sharp = kit.register(set_card("Blue roll", {"kind": "nippers"}))
    lamp = kit.register(set_card("Lamp", {"kind": "lamp"}))
    for one in (sharp, lamp):
        kit.move(one, "wash")
    soak = kit.register(product_card(name="Invented bleach", contact_minutes=SOAK_MINUTES))
    for volume_ml, minutes in ((500, 600), (700, -1)):
        told = {"mixed_at": ago(60), "keeps_until": ago(-minutes)}
        owner.must("mix_solution", **mix_args(product=soak, volume_ml=volume_ml, **told))
    return Bag(owner, kit, sharp, lamp, kit.register(machine_card()), soak)


@pytest.fixture
def hands(new_phone: Callable[[str], Phone], bag: Bag) -> Hands:
    return signed_in(new_phone("owner"))


def mix(hands: Hands) -> None:
    """A litre of what the label asks for."""
    hands.page.goto("/#/kit/mix")
    hands.choose_in("Product", "Invented bleach")
    expect(hands.page.get_by_label("Strength in the bottle (%)")).to_have_value("5.25")
    expect(hands.page.get_by_label("Strength that you need (ppm)")).to_have_value("5000")
    hands.type("How much in all (ml)", "1000")
    amounts_are_above_the_button(hands.page)
    hands.tap("It is mixed")
    hands.sees_heading("Mixed and in use")


def amounts_are_above_the_button(page: Page) -> None:
    """Wherever the page stands, without a scroll."""
    button = page.get_by_role("button", name="It is mixed").bounding_box()
    assert button
    for end in (0, 99_999):
        page.evaluate(f"scrollTo(0, {end})")
        for amount in ("905 ml", "95.2 ml"):
            shown = page.get_by_text(amount, exact=True)
            expect(shown).to_be_in_viewport(ratio=1)
            size = shown.evaluate("(of) => parseFloat(getComputedStyle(of).fontSize)")
            box = shown.bounding_box()
            assert box and size >= 24
            assert button["y"] - 130 < box["y"] < button["y"] - box["height"]


def soak(hands: Hands, bag: Bag) -> None:
    """The lamp, in what was mixed now, of three that stand there."""
    over = hands.page.get_by_role("region", name="Invented bleach, 5,000 ppm, 700 ml")
    expect(over).to_contain_text("throw it away")
    expect(over.get_by_role("button", name="Start a cycle in it")).to_have_count(0)
    mixed = hands.page.get_by_role("region", name="Invented bleach, 5,000 ppm, 1,000 ml")
    mixed.get_by_role("button", name="Start a cycle in it").click()
    hands.choose_in("Sets", f"Lamp, {shown(bag.kit.thing(bag.lamp)['label'])}")
    chosen = hands.page.get_by_role("group", name="With", exact=True)
    expect(chosen.get_by_label("Invented bleach", exact=True)).to_be_checked()
    solutions = hands.page.get_by_role("group", name="Which solution", exact=True)
    expect(solutions.get_by_role("radio")).to_have_count(2)
    taken = solutions.get_by_role("radio", name=re.compile("^5,000 ppm, 1,000 ml"))
    expect(taken).to_be_checked()
    hands.tap("Start the cycle")
    hands.sees("Leave them in")
    expect(hands.page.get_by_role("button", name="They are out")).to_have_count(0)


def strip(hands: Hands) -> Locator:
    return hands.page.get_by_role("complementary", name="Contact time").get_by_role("link")


def counts_down(above: Locator, began: datetime) -> None:
    expect(above).to_have_text(re.compile(r"1 set soaking: 0:\d\d to go"))
    found = re.search(r"0:(\d\d)", above.inner_text())
    gone = (datetime.now(UTC) - began).total_seconds()
    assert found and abs(SOAK_MINUTES * 60 - gone - int(found[1])) < 3


def test_a_contact_time_runs_through_a_reload_and_a_locked_screen(hands: Hands, bag: Bag) -> None:
    page = hands.page
    hands.phone.context.set_offline(True)
    mix(hands)
    soak(hands, bag)
    began = datetime.now(UTC)
    shut = page.locator(".notice").filter(has_text="Contact time")
    page.reload()
    expect(shut).to_contain_text("to go")
    assert "Lamp" not in page.locator("main").inner_text()
    hands.unlock()
    page.evaluate(FELT)
    page.goto("/#/today")
    hands.sees_heading("Today")
    counts_down(strip(hands), began)
    page.evaluate(LEFT_ALONE)
    expect(shut).to_contain_text("to go")
    expect(shut).to_contain_text("The contact time is over", timeout=60_000)
    assert page.evaluate("felt") == [[300, 150, 300, 150, 300]]
    assert "Lamp" not in page.locator("main").inner_text()
    hands.unlock()
    taken_out(hands)
    page.reload()
    hands.sees("Unlock")
    expect(shut).to_have_count(0)
    hands.unlock()
    hands.phone.context.set_offline(False)
    hands.waits_until_sent()
    on_the_server(bag)


def taken_out(hands: Hands) -> None:
    expect(strip(hands)).to_have_text("1 set: contact time is over")
    strip(hands).click()
    hands.tap("They are out")
    hands.sees("The cycle is complete")
    expect(strip(hands)).to_have_count(0)
    hands.tap("It is dry and packed")
    hands.sees("Nothing of it waits to be packed.")


def on_the_server(bag: Bag) -> None:
    (load,) = bag.loads()
    asked = {"level": "disinfect", "minutes": SOAK_MINUTES, "celsius": None}
    assert load["asked"].items() >= asked.items()
    assert (load["faults"], load["sets"]) == ([], [bag.lamp])
    assert load["ends"][0]["ran_minutes"] >= SOAK_MINUTES
    last = bag.last_step(bag.lamp)
    assert (last["what"], last["end"]) == ("pack", load["ends"][0]["id"])


def sterilise(hands: Hands) -> None:
    hands.choose_in("With", STERILISER)
    hands.choose_in("Program", WRAPPED)
    hands.tap("Start the cycle")
    hands.sees_heading("When it has ended")


def test_a_cycle_that_falls_short_does_not_count(hands: Hands, bag: Bag) -> None:
    hands.page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    hands.sees("A disinfectant is not enough for it.")
    expect(hands.page.get_by_label("Invented bleach")).to_have_count(0)
    # There is but one machine.
    expect(hands.page.get_by_label(STERILISER)).to_be_checked()
    hands.sees("Still missing: the program")
    sterilise(hands)
    hands.type("It held the heat for (minutes)", "3")
    hands.type("The heat that it held (°C)", "134")
    hands.choose_in("Indicator strip", "Changed as it should")
    hands.sees("Like this it does not count")
    hands.sees("It was started here only 0:")
    hands.tap("Save: it does not count")
    hands.sees("This cycle does not count")
    hands.tap("Start anew with these")
    sterilise(hands)
    hands.page.get_by_text("It was interrupted").click()
    hands.tap("End it as interrupted")
    hands.sees("The cycle was interrupted.")
    hands.waits_until_sent()
    short, cut = sorted(bag.loads(), key=lambda load: datetime.fromisoformat(load["started_at"]))
    asked = {"level": "sterilise", "minutes": 4, "celsius": 132, "indicator": True}
    assert short["asked"] == cut["asked"] == {**asked, "storage_days": 365}
    assert [short["ends"][0]["held_minutes"], cut["ends"][0]["interrupted"]] == [3, True]
    assert bag.last_step(bag.sharp)["what"] == "cycle"


def say_when(hands: Hands, moment: datetime) -> None:
    at = moment.astimezone(ZoneInfo(ZONE))
    hands.type("Day it was started", f"{at:%Y-%m-%d}")
    hands.type("It was started at", f"{at:%H:%M}")


def washed_before(hands: Hands, start: Locator, moment: datetime) -> None:
    """It takes a tick of its own, for that time alone, and a whole time."""
    tick = hands.page.get_by_label("They were washed before it was started")
    hands.sees("Still missing: that they were washed before it was started")
    expect(start).to_be_disabled()
    tick.check()
    expect(start).to_be_enabled()
    say_when(hands, moment - timedelta(minutes=1))
    expect(tick).not_to_be_checked()
    expect(start).to_be_disabled()
    hands.type("Day it was started", "")
    hands.sees("Still missing: the day it was started")
    say_when(hands, moment)
    hands.type("It was started at", "")
    hands.sees("Still missing: the time it was started")
    say_when(hands, moment)
    tick.check()


def test_a_start_that_is_told_afterwards(hands: Hands, bag: Bag) -> None:
    """A start must be one that can be; that it was told late stays to be seen: our own rule."""
    page, now = hands.page, datetime.now(UTC)
    before = now - timedelta(minutes=10)
    mix(hands)
    page.goto(f"/#/kit/cycle/new/{bag.lamp}")
    hands.choose_in("With", "Invented bleach")
    page.get_by_role("radio", name=re.compile("^5,000 ppm, 1,000 ml")).check()
    page.get_by_text("It was started earlier").click()
    start = page.get_by_role("button", name="Start the cycle")
    say_when(hands, before)
    hands.sees("Its solution was mixed later:")
    expect(start).to_be_disabled()
    hands.choose_in("With", STERILISER)
    hands.choose_in("Program", WRAPPED)
    say_when(hands, now + timedelta(days=1))
    hands.sees("That lies ahead.")
    expect(start).to_be_disabled()
    say_when(hands, before)
    hands.sees("they were washed only after that: Lamp")
    washed_before(hands, start, before)
    start.click()
    hands.sees("Told later:")
    expect(page.get_by_role("timer")).to_have_text(re.compile(r"^(9|10):\d\d$"))
    hands.type("It held the heat for (minutes)", "4")
    hands.type("The heat that it held (°C)", "134")
    hands.choose_in("Indicator strip", "Changed as it should")
    hands.tap("Save the end")
    hands.sees("The cycle is complete")
    hands.waits_until_sent()
    (load,) = bag.loads()
    told = datetime.fromisoformat(load["told_at"]) - datetime.fromisoformat(load["started_at"])
    assert timedelta(minutes=8) < told < timedelta(minutes=12)
    assert load["ends"][0]["ran_minutes"] > 8


def test_a_machine_that_still_runs_is_ended_first(hands: Hands, bag: Bag) -> None:
    other = bag.kit.register(set_card("Red roll", {"kind": "nippers"}))
    bag.kit.move(other, "wash")
    running = bag.kit.start(bag.machine, other, minutes_ago=5)
    hands.fetch()
    hands.waits_until_sent()
    hands.page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    hands.sees("It is still running a cycle, begun")
    hands.choose_in("Program", WRAPPED)
    hands.sees("Still missing: how the last cycle of this machine ended")
    start = hands.page.get_by_role("button", name="Start the cycle")
    expect(start).to_be_disabled()
    hands.tap("Open the cycle")
    hands.sees_heading("When it has ended")
    assert running in hands.page.url
    bag.kit.end(running)
    hands.fetch()
    hands.waits_until_sent()
    hands.page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    expect(hands.page.get_by_label(STERILISER)).to_be_checked()
    expect(hands.page.get_by_text("It is still running")).to_have_count(0)
    expect(start).to_be_enabled()


def test_a_cycle_that_was_left_does_not_come_back_in_another(hands: Hands, bag: Bag) -> None:
    page = hands.page
    sets = page.get_by_role("group", name="Sets", exact=True)
    sharp, lamp = (
        sets.get_by_role("checkbox", name=re.compile(name)) for name in ("^Blue roll", "^Lamp")
    )
    page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    expect(sharp).to_be_checked()
    page.goto(f"/#/kit/cycle/new/{bag.lamp}")
    expect(lamp).to_be_checked()
    expect(sharp).not_to_be_checked()
    sharp.check()
    lamp.uncheck()
    # Longer than a draft waits for more to be typed, and than a busy machine takes to seal it.
    page.wait_for_timeout(2_000)
    page.reload()
    hands.unlock()
    expect(sharp).to_be_checked()
    expect(lamp).not_to_be_checked()
    page.goto("/#/kit/mix")
    good = page.get_by_role("region", name="Invented bleach, 5,000 ppm, 500 ml")
    good.get_by_role("button", name="Start a cycle in it").click()
    expect(sharp).not_to_be_checked()
    lamp.check()
    expect(page.get_by_label("Invented bleach", exact=True)).to_be_checked()


def test_no_code_of_a_label_is_broken_in_two_lines(hands: Hands, bag: Bag) -> None:
    """Beside names of many lengths, on the narrowest of phones."""
    for length in range(9, 23):
        bag.kit.move(bag.kit.register(set_card("Set " + "n" * length)), "wash")
    hands.fetch()
    hands.waits_until_sent()
    hands.page.set_viewport_size({"width": 320, "height": 700})
    hands.page.goto("/#/kit/cycle/new")
    hands.sees("Set nnnnnnnnnnnnnnnnnnnnnn")
    lines = hands.page.evaluate(LINES_OF_CODES)
    assert len(lines) == 16
    assert set(lines) == {1}


def test_a_failed_check_says_what_it_calls_back(hands: Hands, bag: Bag) -> None:
    bag.kit.through(bag.machine, bag.sharp)
    hands.fetch()
    hands.waits_until_sent()
    hands.page.goto(f"/#/kit/machine/{bag.machine}/check")
    hands.choose_in("Which check", "Spore test")
    hands.choose_in("Result", "Failed")
    hands.sees("1 cycle no longer counts.")
    hands.sees("1 set from there must go through a cycle again.")
    hands.sees("Nothing from there was used on a client that this phone knows of.")
    hands.tap("Record it")
    expect(hands.page.get_by_role("button", name="Record it")).to_have_count(0)
    hands.waits_until_sent()
    (check,) = of_kind(bag.owner.pull(), "machine_check").values()
    assert (check["passed"], check["reaches_back"], check["kind"]) == (False, True, "spore_test")
    hands.page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    hands.sees("Blue roll cannot go in now. How it stands: Dirty.")
    bag.kit.move(bag.sharp, "wash")
    hands.fetch()
    hands.waits_until_sent()
    hands.page.goto(f"/#/kit/cycle/new/{bag.sharp}")
    hands.choose_in("With", STERILISER)
    hands.sees("A check of this machine failed")
    hands.choose_in("Program", WRAPPED)
    start = hands.page.get_by_role("button", name="Start the cycle")
    expect(start).to_be_disabled()
    hands.choose("I know that it failed, and that this cycle will not count")
    expect(start).to_be_enabled()
