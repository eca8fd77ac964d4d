"""A checklist on arrival, half ticked over a lock, signed without signal, and on the server later.

The lines are the book's; the 20 seconds of rubbing hands as well. Check: our own rule.
"""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.kit.hands import product_card
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.furnished import Furnished, furnish
from tests.system.hands import WORDS, Hands
from tests.system.kit_bag import KitBag
from tests.system.unsent import signed_in


@pytest.fixture
def practice(live_server_process: ServedApp) -> Furnished:
    return furnish(live_server_process)


def line(item: str) -> str:
    return str(WORDS[f"checklist_item.{item}"])


def test_it_is_kept_half_ticked_and_signed_without_signal(
    new_phone: Callable[[str], Phone], practice: Furnished
) -> None:
    phone = new_phone("owner")
    hands = signed_in(phone)
    page = hands.page
    phone.context.set_offline(True)
    page.goto("/#/kit/checklists")
    hands.tap("On arrival Not signed yet.")
    hands.sees("Still missing: where you are")
    hands.choose("In a home")
    expect(page.get_by_text(line("staff_told"))).to_have_count(0)
    hands.tap("Rub, 20 seconds")
    expect(page.get_by_role("timer")).to_be_visible()
    hands.choose_in(line("pets_out"), "Not done")
    page.wait_for_timeout(1000)
    page.reload()
    hands.unlock()
    expect(page.get_by_role("timer")).to_be_visible()
    told = page.get_by_role("group", name=line("pets_out"), exact=True)
    expect(told.get_by_label("Not done", exact=True)).to_be_checked()
    for group in page.get_by_role("group").all()[2:]:
        group.get_by_label("Done", exact=True).check()
    expect(page.get_by_text("Long enough")).to_be_visible(timeout=25_000)
    hands.tap("Sign the list")
    hands.sees("1 line was not done.")
    phone.context.set_offline(False)
    hands.waits_until_sent()
    (signed,) = of_kind(practice.owner.pull(), "checklist").values()
    assert signed["occasion"] == "on_arrival"
    assert signed["items"].pop("pets_out") == "not_done"
    assert set(signed["items"].values()) == {"done"}
    assert "staff_told" not in signed["items"]


def test_what_is_just_done_is_ticked_by_one_tap_and_stays_open_to_change(
    new_phone: Callable[[str], Phone], practice: Furnished
) -> None:
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/kit/checklist/on_leaving")
    hands.sees("Still missing: 5 lines")
    hands.choose_in(line("waste_bagged"), "Not done")
    hands.tap("All done: 2 lines")
    expect(page.get_by_role("button", name="All done")).to_have_count(0)
    for item, answer in (("waste_bagged", "Not done"), ("nothing_left", "Done")):
        told = page.get_by_role("group", name=line(item), exact=True)
        expect(told.get_by_label(answer, exact=True)).to_be_checked()
    # What has a time of its own is told by itself.
    hands.sees("Still missing: 2 lines")
    expect(page.get_by_role("button", name="Sign the list")).to_be_disabled()
    hands.choose_in(line("surfaces_wiped"), "Done")
    hands.choose_in(line("hands_after"), "Done")
    hands.choose_in(line("nothing_left"), "Not needed")
    hands.tap("Sign the list")
    hands.sees("1 line was not done.")
    hands.waits_until_sent()
    (signed,) = of_kind(practice.owner.pull(), "checklist").values()
    assert signed["items"] == {
        "dirty_box_closed": "done",
        "surfaces_wiped": "done",
        "hands_after": "done",
        "waste_bagged": "not_done",
        "nothing_left": "not_needed",
    }


def test_a_surface_is_timed_for_as_long_as_its_label_says(
    new_phone: Callable[[str], Phone], practice: Furnished
) -> None:
    ready = {"stock_percent": None, "use_ppm": None, "mixed_keeps_hours": None}
    wipes = product_card(name="Quick wipes", used_for="surfaces", contact_minutes=0.5, **ready)
    KitBag(practice.owner).register(wipes)
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/kit/checklist/on_leaving")
    hands.tap("Quick wipes: wet for 0.5 min")
    expect(page.get_by_role("timer")).to_have_text(re.compile(r"^0:(30|2\d)$"))
    hands.sees("Keep it wet.")
    page.wait_for_timeout(1000)
    page.reload()
    hands.unlock()
    expect(page.get_by_role("timer")).to_be_visible()
    expect(page.get_by_text("The time on the label is over")).to_be_visible(timeout=35_000)
    page.goto("/#/kit/checklist/on_arrival")
    hands.choose("In a home")
    hands.sees("Rub, 20 seconds")
    expect(page.get_by_role("button", name="Quick wipes")).to_have_count(0)


def test_the_one_that_is_due_is_offered_today_until_it_is_signed(
    new_phone: Callable[[str], Phone], practice: Furnished
) -> None:
    hands = signed_in(new_phone("owner"))
    weekly = hands.page.get_by_role("link", name="Checklist: Every week")
    expect(weekly).to_be_visible()
    weekly.click()
    sign(hands)
    hands.page.goto("/#/today")
    hands.sees_heading("Today")
    hands.sees("3 visits")
    expect(weekly).to_have_count(0)


def sign(hands: Hands) -> None:
    hands.sees_heading("Every week")
    for group in hands.page.locator("main fieldset").all():
        group.get_by_label("Done", exact=True).check()
    hands.tap("Sign the list")
    hands.sees("Signed last ")
