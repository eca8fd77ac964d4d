"""A bit or a softener that is only half written down when something comes between.

Check: our own rule; axe as in test_axe.
"""

import re
from collections.abc import Callable

from playwright.sync_api import Locator, expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.furnished import Furnished, furnish
from tests.system.hands import Hands
from tests.system.test_axe import Looker
from tests.system.unsent import signed_in


def under_way(app: ServedApp, new_phone: Callable[[str], Phone]) -> tuple[Furnished, Looker]:
    practice = furnish(app)
    hands = signed_in(new_phone("owner"))
    hands.page.goto(f"/#/booking/{practice.ready.booking}/visit")
    hands.tap("Start the visit")
    return practice, Looker(hands)


def button(hands: Hands, name: str) -> Locator:
    return hands.page.get_by_role("button", name=name, exact=True)


def test_what_is_half_written_outlives_a_reload_and_a_lock_and_holds_sign_off(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    practice, looker = under_way(live_server_process, new_phone)
    a_bit_comes_back_after_a_reload(looker)
    a_softener_comes_back_after_a_lock(looker)
    hands = looker.hands
    hands.tap("Go to sign-off")
    hands.sees("1 bit used")
    hands.sees("1 softener used")
    hands.type("In how many weeks?", "5")
    hands.tap("No set was used")
    hands.tap("Sign off")
    hands.sees("Next visit in 5 weeks")
    hands.waits_until_sent()
    records = [row["record"] for row in of_kind(practice.owner.pull(), "visit").values()]
    (record,) = [record for record in records if record.get("softeners")]
    assert record["softeners"][0]["places"] == ["left_heel"]
    assert [bit["head_mm"] for bit in record["bits"]] == [10]
    assert not looker.found, "\n\n".join(looker.found)


def a_bit_comes_back_after_a_reload(looker: Looker) -> None:
    hands = looker.hands
    hands.tap("Add a bit")
    hands.choose("Large diamond")
    hands.type("Width of the head (mm)", "10")
    hands.sees("Still missing: the speed and where")
    # A draft is on disk within half a second of the last key.
    hands.page.wait_for_timeout(1000)
    hands.page.reload()
    hands.unlock()
    width = hands.page.get_by_label("Width of the head (mm)", exact=True)
    expect(width).to_have_value("10")
    expect(width).to_be_in_viewport()
    hands.page.goto(re.sub("#.*", "#/today", hands.page.url))
    hands.sees_heading("Today")
    hands.page.go_back()
    hands.tap("Go to sign-off")
    hands.sees("A bit is only half written down")
    hands.sees("0 bits used")
    hands.choose("Ended early")
    half = "the bit that is half written down"
    hands.sees(f"Still missing: {half}, which set was used and why it ended early")
    hands.choose("Done as planned")
    expect(button(hands, "Sign off")).to_be_disabled()
    hands.page.evaluate("scrollTo(0, 0)")
    looker.look("sign-off-half-a-bit")
    hands.tap("Back to the bit")
    expect(width).to_be_in_viewport()
    looker.look("visit-back-to-the-bit")
    hands.type("Speed (turns a minute)", "15000")
    hands.choose_in("Where?", "Right heel")
    hands.tap("Keep")
    expect(width).to_have_count(0)


def a_softener_comes_back_after_a_lock(looker: Looker) -> None:
    hands = looker.hands
    hands.tap("Add a softener")
    hands.type("Product", "Cream")
    hands.page.get_by_role("button", name="Lock").click()
    hands.unlock()
    product = hands.page.get_by_label("Product", exact=True)
    expect(product).to_have_value("Cream")
    hands.tap("Go to sign-off")
    hands.sees("A softener is only half written down")
    hands.sees("Still missing: the softener that is half written down and which set was used")
    looker.look("sign-off-half-a-softener")
    hands.tap("Back to the softener")
    expect(product).to_be_in_viewport()
    hands.type("Urea (%)", "10")
    hands.sees("Still missing: where")
    expect(button(hands, "It is on: start the timer")).to_be_disabled()
    hands.choose_in("Where?", "Left heel")
    hands.tap("It is on: start the timer")
    hands.tap("It is off")
