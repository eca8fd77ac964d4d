"""The kit on a real phone: a set entered with no signal, its way round, and what is told apart.

Check: our own rules (decision 0180); what a process must reach: CDC 2008 Table 7, published.
"""

import re

from playwright.sync_api import expect

from heelwright.ids import new_id
from tests.kit.hands import lot_card, machine_card, product_card, set_card
from tests.system.device import Json, of_kind
from tests.system.hands import shown
from tests.system.kit_bag import KitBag
from tests.system.scene import Scene


def things(scene: Scene) -> dict[str, Json]:
    rows = of_kind(scene.other.pull(), "kit_thing").values()
    return {row["card"]["name"]: row for row in rows}


def state(scene: Scene, word: str) -> None:
    expect(scene.page.locator("main .tag").first).to_have_text(word)


def open_set(scene: Scene, name: str) -> None:
    scene.page.goto("/#/kit")
    scene.page.get_by_role("main").get_by_role("link", name=re.compile(f"^{name} ")).click()
    scene.hands.sees_heading(name)


def test_a_set_is_entered_with_no_signal_and_nothing_half_typed_is_lost(scene: Scene) -> None:
    scene.sign_in()
    scene.go_offline()
    scene.hands.tap("Kit")
    scene.hands.tap("New set")
    scene.hands.tap("Take a new code")
    scene.hands.type("Name", "Set for heels")
    scene.hands.tap("Bit")
    scene.hands.choose_in("Kind of bit", "Large diamond")
    scene.hands.type("Width of the head (mm)", "6")
    scene.hands.type("Fastest it may turn (turns a minute)", "fast")
    scene.hands.tap("Save")
    expect(scene.page.get_by_label("Fastest it may turn (turns a minute)")).to_be_focused()
    scene.hands.type("Fastest it may turn (turns a minute)", "30000")
    # A draft is on disk within half a second of the last key.
    scene.page.wait_for_timeout(1000)
    scene.page.reload()
    scene.hands.unlock()
    expect(scene.page.get_by_label("Name", exact=True)).to_have_value("Set for heels")
    scene.hands.tap("Nippers")
    scene.hands.tap("Save")
    scene.hands.sees_heading("Set for heels")
    state(scene, "Dirty")
    scene.hands.sees("No cycle is on record for it yet.")
    scene.hands.tap("Change")
    scene.hands.type("Name", "Set for hard skin")
    scene.hands.tap("Save")
    scene.hands.sees_heading("Set for hard skin")
    scene.go_online()
    scene.hands.waits_until_sent()
    kept = things(scene)["Set for hard skin"]["card"]
    bit, nippers = kept["instruments"]
    assert (bit["family"], bit["head_mm"], bit["most_rpm"]) == ("diamond_large", 6, 30_000)
    assert (bit["shank_mm"], nippers["kind"]) == (2.35, "nippers")


def test_a_set_goes_round_and_is_clean_only_after_its_whole_cycle(scene: Scene) -> None:
    bag = KitBag(scene.other)
    one, machine = bag.register(set_card("Round set")), bag.register(machine_card())
    scene.sign_in()
    open_set(scene, "Round set")
    state(scene, "Dirty")
    scene.hands.tap("It is washed")
    state(scene, "Washed")
    expect(scene.page.get_by_role("link", name="Start a cycle")).to_be_visible()
    scene.hands.waits_until_sent()
    bag.last[one] = [step["id"] for step in things(scene)["Round set"]["steps"]]
    bag.end(bag.start(machine, one))
    scene.hands.fetch()
    open_set(scene, "Round set")
    state(scene, "To dry and pack")
    scene.go_offline()
    scene.hands.tap("It is dry and packed")
    state(scene, "Clean")
    scene.hands.sees("It keeps until")
    scene.hands.tap("Into my clean box")
    state(scene, "In the clean box")
    scene.page.get_by_text("Something else happened").click()
    scene.hands.choose("Into the dirty box")
    scene.hands.type("Note", "The pouch tore.")
    scene.page.locator("details").get_by_role("button", name="Into the dirty box").click()
    state(scene, "Dirty")
    scene.go_online()
    scene.hands.waits_until_sent()
    steps = {step["what"]: step for step in things(scene)["Round set"]["steps"]}
    assert steps["soil"]["after"] == [steps["take_out"]["id"]]
    assert {*steps} == {"wash", "cycle", "pack", "take_out", "soil"}


def test_what_needs_a_disinfectant_alone_goes_into_it_once_cleaned(
    scene: Scene,
) -> None:
    bag = KitBag(scene.other)
    lamp = bag.register(set_card("Round lamp", {"kind": "lamp"}))
    ready_to_use = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}
    wipes = bag.register(product_card(name="Invented wipes", contact_minutes=0.1, **ready_to_use))
    scene.sign_in()
    open_set(scene, "Round lamp")
    scene.hands.tap("It is cleaned: disinfect with Invented wipes")
    scene.hands.sees("Leave them in")
    scene.hands.tap("They are out")
    scene.hands.tap("It is dry and packed")
    scene.hands.waits_until_sent()
    (load,) = (
        row for row in of_kind(scene.other.pull(), "kit_load").values() if lamp in row["sets"]
    )
    assert (load["product"], load["faults"]) == (wipes, [])
    open_set(scene, "Round lamp")
    state(scene, "Clean")


def test_two_accounts_of_a_set_are_both_told_and_washing_settles_them(scene: Scene) -> None:
    bag = KitBag(scene.other)
    one = bag.register(set_card("Set told apart"))
    bag.move(one, "wash", 30)
    bag.last[one] = []
    bag.move(one, "lose", 20)
    scene.sign_in()
    open_set(scene, "Set told apart")
    state(scene, "Unclear")
    accounts = scene.page.get_by_role("main").get_by_role("listitem")
    expect(accounts.filter(has_text="Washed:")).to_be_visible()
    expect(accounts.filter(has_text="Told as lost:")).to_be_visible()
    scene.hands.tap("It is washed")
    state(scene, "Washed")


def test_several_sets_are_washed_at_once(scene: Scene) -> None:
    bag = KitBag(scene.other)
    for name in ("Many A", "Many B", "Many C"):
        bag.register(set_card(name))
    scene.sign_in()
    scene.page.goto("/#/kit")
    scene.page.get_by_role("link").filter(has_text="sets to wash").click()
    scene.hands.sees_heading("Wash sets")
    for name in ("Many A", "Many C"):
        scene.page.get_by_label(re.compile(f"{name} ")).check()
    scene.hands.tap("It is washed (2)")
    scene.hands.sees_heading("Kit")
    scene.hands.waits_until_sent()
    told = things(scene)
    assert [len(told[f"Many {one}"]["steps"]) for one in "ABC"] == [1, 0, 1]


def test_what_is_left_of_a_lot_is_counted_anew(scene: Scene) -> None:
    bag = KitBag(scene.other)
    lot = bag.register(lot_card(name="Gloves, M"))
    scene.sign_in()
    scene.page.goto(f"/#/kit/{lot}")
    scene.hands.sees_heading("100 left")
    scene.hands.choose("I counted what is left")
    scene.hands.type("How many", "64")
    scene.hands.tap("Save")
    scene.hands.sees_heading("64 left")
    scene.hands.waits_until_sent()
    assert things(scene)["Gloves, M"]["left"] == 64


def test_a_label_that_somebody_else_took_leads_back_to_the_form(scene: Scene) -> None:
    """The other phone's thing is on the server first; this one did not know."""
    scene.sign_in()
    scene.go_offline()
    scene.page.goto("/#/kit/new/lot")
    scene.hands.tap("Scan a label")
    scene.hands.type("Type the code", "0000-16JD")
    scene.hands.tap("Use this code")
    scene.hands.choose_in("What it is", "Masks")
    expect(scene.page.get_by_label("Name", exact=True)).to_have_value("Masks")
    scene.hands.type("How many there are", "50")
    scene.hands.tap("Save")
    scene.hands.sees_heading("50 left")
    first = {"thing": str(new_id()), "label": "0000-16JD", "card": set_card("The other one")}
    scene.other.must("register_thing", **first)
    scene.go_online()
    expect(scene.page.get_by_role("link", name=re.compile("^Attention"))).to_be_hidden()
    scene.page.goto("/#/attention")
    scene.hands.sees("Something else of the kit has this label.")
    scene.hands.tap("Go back to it")
    scene.hands.sees_heading("New lot")
    scene.hands.sees("This label is on something else")
    expect(scene.page.get_by_label("How many there are")).to_have_value("50")
    scene.hands.tap("Another label")
    scene.hands.type("Type the code", "ZZZZ-ZZZJ")
    scene.hands.tap("Use this code")
    scene.hands.tap("Save")
    scene.hands.sees_heading("50 left")
    scene.hands.waits_until_sent()
    assert things(scene)["Masks"]["label"] == "ZZZZ-ZZZJ"


def test_a_fresh_label_leads_to_the_form_that_was_begun(scene: Scene) -> None:
    scene.sign_in()
    scene.page.goto("/#/kit/new/machine")
    scene.hands.type("Name", "The one in the kitchen")
    scene.page.goto("/#/kit/scan")
    scene.hands.type("Type the code", "0000-0150")
    scene.hands.tap("Use this code")
    scene.hands.sees(f"Is {shown('0000-0150')} a fresh label?")
    scene.hands.tap("New machine")
    scene.hands.sees_heading("New machine")
    expect(scene.page.get_by_text(shown("0000-0150"), exact=True)).to_be_visible()
    expect(scene.page.get_by_label("Name", exact=True)).to_have_value("The one in the kitchen")


def test_a_card_that_changed_meanwhile_is_shown_beside_what_was_typed(scene: Scene) -> None:
    bag = KitBag(scene.other)
    lot = bag.register(lot_card(name="Wipes", supply="wipe"))
    scene.sign_in()
    scene.go_offline()
    scene.page.goto(f"/#/kit/{lot}/edit")
    scene.hands.type("Lot number", "B2")
    scene.hands.tap("Save")
    scene.hands.sees_heading("Wipes")
    changed = lot_card(name="Wipes", supply="wipe", lot="A9")
    scene.other.must("amend_thing", thing=lot, seen=1, card=changed)
    scene.go_online()
    scene.page.goto("/#/attention")
    scene.hands.sees("Somebody else has changed this card since.")
    scene.hands.tap("Go back to it")
    scene.hands.sees("The card has changed since.")
    scene.hands.sees("A9")
    expect(scene.page.get_by_label("Lot number")).to_have_value("B2")
    scene.hands.tap("Save")
    scene.hands.sees_heading("100 left")
    scene.hands.waits_until_sent()
    assert things(scene)["Wipes"]["card"]["lot"] == "B2"


def test_an_address_of_no_thing_is_not_found(scene: Scene) -> None:
    scene.sign_in()
    for address in (f"kit/{new_id()}", f"kit/{new_id()}/edit", "kit/new/chair", "kit/all/chair"):
        scene.page.goto(f"/#/{address}")
        expect(scene.page.get_by_role("heading", level=1)).to_have_text("Not found")
