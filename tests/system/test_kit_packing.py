"""Packing for tomorrow on a real phone, with no signal.

Check: our own rules; what a visit takes and the margin are the shipped book's (common practice, no
source)."""

from collections.abc import Callable
from datetime import timedelta

from playwright.sync_api import expect

from tests.kit.hands import lot_card, machine_card, product_card, set_card
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.kit_bag import KitBag
from tests.system.practice import owner_of
from tests.system.scene import Scene
from tests.system.unsent import signed_in


def booked_in(days: int, owner: Device) -> None:
    visit = HomeVisit(owner.staff, starts_at=noon_today() + timedelta(days=days))
    owner.must("register_client", **visit.card(name="Pat Packed"))
    owner.must("book_visit", **visit.booked())


def use_code(scene: Scene, label: str) -> None:
    scene.hands.type("Type the code", label)
    scene.hands.tap("Use this code")


def test_a_bag_is_packed_for_tomorrow_with_no_signal(scene: Scene) -> None:
    bag = KitBag(scene.other)
    booked_in(1, scene.other)
    machine = bag.register(machine_card())
    sets = {name: bag.register(set_card(name)) for name in ("Bag A", "Bag B", "Bag C")}
    bag.through(machine, sets["Bag A"], sets["Bag B"])
    bag.register(lot_card(count=2))
    bag.register(product_card(name="Invented concentrate", stock_percent=10, use_ppm=5000))
    scene.sign_in()
    scene.go_offline()
    scene.hands.tap("Later")
    scene.hands.tap("Pack for tomorrow")
    scene.hands.sees_heading("Packing list")
    scene.hands.sees("1 visit: Pat Packed.")
    # One set for the visit and one to spare; two pairs of gloves and one to spare.
    scene.hands.sees("Needs 2, there are 2")
    scene.hands.sees("Gloves, pairs: 1")
    # Two sets with 250 ml, a twentieth of it product.
    scene.hands.sees("25 ml of it and 475 ml of water")

    scene.hands.tap("Take sets out by their labels")
    use_code(scene, bag.thing(sets["Bag C"])["label"])
    scene.hands.sees("Bag C is not clean.")
    use_code(scene, bag.thing(sets["Bag A"])["label"])
    scene.hands.sees("Bag A is in your clean box now.")
    scene.hands.tap("Take this one out (1)")
    scene.hands.sees("All of these are in your clean box.")

    gloves = scene.page.get_by_role("checkbox", name="Gloves")
    gloves.check()
    # A draft is on disk within half a second of the last tap.
    scene.page.wait_for_timeout(1000)
    scene.page.reload()
    scene.hands.unlock()
    expect(gloves).to_be_checked()
    scene.go_online()
    scene.hands.waits_until_sent()
    last = {name: bag.look(one) for name, one in sets.items()}
    steps = [step for one in sets.values() for step in bag.thing(one)["steps"]]
    told = {step["id"]: step["what"] for step in steps}
    assert {name: [told[step] for step in those] for name, those in last.items()} == {
        "Bag A": ["take_out"],
        "Bag B": ["take_out"],
        "Bag C": [],
    }


def test_the_next_day_with_visits_comes_first_with_what_can_be_made_ready(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    bag = KitBag(owner)
    booked_in(2, owner)
    told_apart = bag.register(set_card("Bag A"))
    bag.move(told_apart, "wash")
    bag.last[told_apart] = []
    bag.move(told_apart, "soil")
    hands = signed_in(new_phone("owner"))
    hands.page.goto("/#/kit")
    hands.tap("Packing list")
    hands.sees("1 visit: Pat Packed.")
    later = hands.page.get_by_role("button", name="Another day")
    expect(later).to_have_attribute("aria-pressed", "true")
    line = hands.page.get_by_role("listitem").filter(has_text="Bag A")
    expect(line).to_contain_text("Unclear")
    expect(line).to_contain_text("Wash it, then put it through a whole cycle.")
    hands.tap("Today")
    nobody = "No visit of yours is still to come on this day."
    hands.sees(nobody)
    # A draft is on disk within half a second of the last tap.
    hands.page.wait_for_timeout(1000)
    hands.page.reload()
    hands.unlock()
    hands.sees(nobody)
