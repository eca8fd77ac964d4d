"""Addresses that lead nowhere, and a visit that went past its limits.

Check: our own rule; axe as in test_axe.
"""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from heelwright.ids import new_id
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.furnished import OWNER, Furnished, furnish
from tests.system.hands import Hands
from tests.system.practice import hire
from tests.system.test_axe import ROUTES, Looker
from tests.system.test_door import LEFT_ALONE

CORA = "cora@practice.test"
TESS = "tess@practice.test"
UNKNOWN = ("client/zzz", "client/zzz/feet", "booking/zzz", "booking/zzz/visit", "referral/zzz")
TO_OWNER = "Write down what was done. The owner is told, and will review it."


@pytest.fixture
def practice(live_server_process: ServedApp) -> Furnished:
    return furnish(live_server_process)


@pytest.fixture
def looker(new_phone: Callable[[str], Phone]) -> Looker:
    phone = new_phone("somebody")
    phone.open()
    return Looker(Hands(phone))


def test_an_address_of_nothing_says_so_and_leads_back(practice: Furnished, looker: Looker) -> None:
    hands = looker.hands
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    for address in (*UNKNOWN, "visit/zzz/aftercare"):
        hands.page.goto(f"/#/{address}")
        hands.sees_heading("Not found")
    looker.look("not-found")
    hands.page.get_by_role("main").get_by_role("link", name="Today").click()
    hands.sees_heading("Today")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_coordinator_gets_no_screen_of_a_technician(
    live_server_process: ServedApp, practice: Furnished, looker: Looker
) -> None:
    hire(live_server_process, practice.owner, CORA, "coordinator")
    hands = looker.hands
    hands.sign_in(CORA)
    text = ROUTES.read_text()
    kept = re.findall(r'path: "([^"]+)"[^}]*roles: CARE', text)
    assert len(kept) == text.count("roles: CARE") > 0
    for path in kept:
        parts = (practice.ids[p[1:]] if p.startswith(":") else p for p in path.split("/"))
        hands.page.goto(f"/#/{'/'.join(parts)}")
        hands.sees_heading("Not for your role")
        expect(hands.page.locator("main :is(input, select, textarea)")).to_have_count(0)
    hands.sees("Only the technicians and the owner have this screen.")
    hands.sees("If you need something from it, ask Olive Owner.")
    looker.look("not-for-role")
    hands.page.get_by_role("main").get_by_role("link", name="Residents").click()
    hands.sees_heading("Residents")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_coordinator_finds_the_houses_and_the_list_of_residents(
    live_server_process: ServedApp, practice: Furnished, looker: Looker
) -> None:
    cora = hire(live_server_process, practice.owner, CORA, "coordinator")
    practice.owner.must("assign_facility", facility=practice.ids["facility"], staff=cora.staff)
    practice.owner.must("register_facility", facility=new_id(), name="Other House")
    hands = looker.hands
    hands.sign_in(CORA)
    hands.waits_until_sent()
    hands.page.get_by_role("link", name="More").click()
    hands.page.get_by_role("link", name="Open facilities").click()
    hands.sees_heading("Other House")
    hands.sees("2 residents")
    main = hands.page.get_by_role("main")
    expect(main).not_to_contain_text("0 residents")
    looker.look("facilities-coordinator")
    for way in ("Rounds", "Residents from a list"):
        main.get_by_role("link", name=way).first.click()
        hands.sees_heading(way)
        main.get_by_role("link", name="Back").click()
        hands.sees_heading("Residents")
        hands.sees("2 residents")
        expect(main).not_to_contain_text("0 residents")
    looker.look("residents-coordinator")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_house_that_was_not_given_has_no_count(
    live_server_process: ServedApp, practice: Furnished, looker: Looker
) -> None:
    hire(live_server_process, practice.owner, TESS)
    hands = looker.hands
    hands.sign_in(TESS)
    hands.waits_until_sent()
    hands.page.goto("/#/facilities")
    hands.sees_heading("Invented House")
    expect(hands.page.get_by_role("main")).not_to_contain_text("resident")


def test_limits_that_were_passed_are_told_at_once_and_again_by_the_server(
    practice: Furnished, looker: Looker
) -> None:
    hands = looker.hands
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    hands.page.goto(f"/#/booking/{practice.ready.booking}/visit")
    hands.tap("Start the visit")
    a_softener_too_strong(looker)
    a_bit_in_a_crack(looker)
    a_stop_sign(looker)
    hands.tap("Go to sign-off")
    hands.sees_heading("Sign-off")
    told = hands.page.locator("main .notice", has_text=TO_OWNER).get_by_role("listitem")
    shown = told.all_inner_texts()
    looker.look("sign-off-past-limits")
    hands.type("In how many weeks?", "5")
    hands.tap("No set was used")
    hands.tap("Sign off")
    hands.sees("Next visit in 5 weeks")
    hands.waits_until_sent()
    hands.page.goto(f"/#/client/{practice.ready.client}")
    hands.sees("Booked visits")
    looker.look("client-after-the-visit")
    booked = hands.page.locator("main section", has_text="Booked visits")
    expect(booked.get_by_text("None.")).to_be_visible()

    incidents = of_kind(practice.owner.pull(), "incident").values()
    [reasons] = [row["reasons"] for row in incidents if row["code"] == "outside_limits"]
    bits = ["bit_not_allowed", "bit_in_crack", "not_finished_smooth"]
    assert reasons == [*bits, "softener_too_strong"]
    assert shown == [
        "A bit was used that is outside the limits.",
        "A bit was used inside a crack.",
        "A cutting bit was not followed by diamond.",
        "A softener was too strong.",
    ]
    assert not looker.found, "\n\n".join(looker.found)


def a_softener_too_strong(looker: Looker) -> None:
    hands = looker.hands
    hands.tap("Add a softener")
    hands.type("Product", "Strong cream")
    hands.type("Urea (%)", "40")
    hands.choose_in("Where?", "Left heel")
    hands.sees("Do not use it, or wipe it off.")
    told_beside_the_button(hands, "It is on: start the timer", "40 % urea, at most 12 %")
    hands.tap("It is on: start the timer")
    told_to_wipe_it_off(looker)
    hands.tap("It is off")
    expect(hands.page.get_by_text("Wipe it off now")).to_have_count(0)


def told_to_wipe_it_off(looker: Looker) -> None:
    """By the timer, by the strip on top of every page, and by a phone that is covered."""
    page = looker.hands.page
    stop = page.get_by_role("alert").filter(has_text="Wipe it off now")
    expect(stop).to_contain_text("40 % urea, at most 12 %")
    expect(stop).to_have_class(re.compile("stop"))
    expect(page.get_by_text("Leave it on")).to_have_count(0)
    strip = page.get_by_role("complementary", name="Softener").get_by_role("link")
    expect(strip).to_have_text("Ida Invented: wipe the softener off now.")
    expect(strip).to_have_class(re.compile("overrun"))
    stop.scroll_into_view_if_needed()
    looker.look("visit-wipe-it-off")
    page.evaluate(LEFT_ALONE)
    covered = page.locator(".notice").filter(has_text="A softener is on")
    expect(covered).to_contain_text("Wipe it off now")
    expect(covered).to_have_class(re.compile("emergency"))
    expect(page.get_by_text("Leave it on")).to_have_count(0)
    looker.hands.unlock()


def a_bit_in_a_crack(looker: Looker) -> None:
    hands = looker.hands
    hands.tap("Add a bit")
    hands.choose("Tapered carbide (not for this client)")
    hands.type("Width of the head (mm)", "3")
    hands.type("Speed (turns a minute)", "9000")
    hands.choose_in("Where?", "Inside a crack")
    what = "a bit that is not for this client; a bit inside a crack"
    told_beside_the_button(hands, "Keep", what)
    looker.look("visit-past-limits")
    hands.tap("Keep")


def a_stop_sign(looker: Looker) -> None:
    """What it means is in sight where it was ticked, though there are more signs below it."""
    page = looker.hands.page
    sign = page.get_by_label("Client felt heat", exact=True)
    sign.evaluate(
        "it => scrollTo(0, it.getBoundingClientRect().bottom + scrollY - innerHeight + 130)"
    )
    sign.check()
    told = page.get_by_role("alert").filter(has_text="Do no more there today.")
    bar = page.locator(".actions").bounding_box()
    expect(told).to_be_in_viewport(ratio=1)
    expect(sign).to_be_focused()
    box, line = told.bounding_box(), sign.bounding_box()
    assert bar and box and line
    assert line["y"] < box["y"] < line["y"] + 120
    assert box["y"] + box["height"] <= bar["y"]
    looker.look("visit-stop-sign")
    sign.uncheck()
    expect(told).to_have_count(0)


def told_beside_the_button(hands: Hands, button: str, what: str) -> None:
    """Whoever is about to tap it has the notice before their eyes."""
    hands.page.get_by_role("button", name=button, exact=True).scroll_into_view_if_needed()
    notice = hands.page.get_by_role("alert").filter(has_text=TO_OWNER).last
    expect(notice).to_be_in_viewport(ratio=0.8)
    first = notice.locator("strong")
    expect(first).to_have_text(f"Past the limits: {what}")
    expect(first).to_be_in_viewport(ratio=1)
