"""A home visit with no signal, through the real screens at 360x780: the main job, end to end.

From the sign-in at home to the server, a second phone, and what a finder of the phone could read.
What must happen is the design's own; the answers and limits come from the rulebook and its sources.
"""

import re
import time
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.services.phone import Phone
from tests.services.proxy import FaultingProxy
from tests.services.served import ServedApp
from tests.standards.clients import DIABETIC, OLDER, WELL
from tests.system.after_the_day import (
    IDA,
    ODA,
    TESS,
    Round,
    nothing_to_read,
    on_a_second_phone,
    on_the_server,
)
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.markers import STEM
from tests.system.practice import hire, owner_of

# Whether somebody can follow is not theirs to judge. Check: our own rule.
FOR_THE_TECHNICIAN = {"understands_today"}


@pytest.fixture
def day(live_server_process: ServedApp) -> Round:
    owner = owner_of(live_server_process)
    tess = hire(live_server_process, owner, TESS)
    noon = noon_today()
    ida = HomeVisit(tess.staff, starts_at=noon)
    oda = HomeVisit(tess.staff, starts_at=noon + timedelta(hours=1))
    tess.must("register_client", **ida.card(name=IDA, note=f"Key {STEM}"))
    tess.must("register_client", **oda.card(name=ODA, born="1944-03-01"))
    tess.must("book_visit", **ida.booked())
    tess.must("book_visit", **oda.booked())
    return Round(tess, {str(owner.id), str(tess.id)}, ida, oda)


def test_a_home_visit_with_no_signal(
    live_server_process: ServedApp,
    faulting_proxy: FaultingProxy,
    new_phone: Callable[[str], Phone],
    day: Round,
) -> None:
    phone = new_phone("tess")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(TESS)
    hands.waits_until_sent()

    faulting_proxy.go_offline()
    phone.open_again()
    phone.context.set_offline(True)
    phone.page.goto("/")
    hands.unlock()
    hands.choose_pin()
    screened_by_the_client(hands, WELL)
    feet_looked_at(hands)
    consented(hands)
    visited(hands)
    signed_off_and_booked_again(hands)
    referred(hands)
    pushes = faulting_proxy.count("/api/push")

    faulting_proxy.go_online()
    phone.context.set_offline(False)
    hands.waits_until_sent()
    assert faulting_proxy.count("/api/push") > pushes
    on_the_server(live_server_process, day)
    on_a_second_phone(new_phone("second"))
    nothing_to_read(phone)


def screened_by_the_client(hands: Hands, answers: dict[str, Any]) -> None:
    hands.open_client(IDA)
    hands.tap("Let the client answer")
    held_at_the_questions(hands.page)
    hands.tap("Give the phone back")
    hands.sees("Please give the phone back to your technician.")
    hands.take_back()
    hands.sees_heading("How you are today")
    hands.open_client(IDA)
    hands.tap("Let the client answer")
    asked = hands.answer_all(answers, "Thank you")
    assert asked and not asked & FOR_THE_TECHNICIAN
    hands.take_back()
    hands.sees_heading("Saying yes or no")
    assert hands.answer_all(answers, "Who answered?") == FOR_THE_TECHNICIAN
    expect(hands.page.get_by_label("The client", exact=True)).to_be_checked()
    hands.tap("Save answers")
    hands.sees_heading("Both feet")


def held_at_the_questions(page: Page) -> None:
    """In the client's hand the phone shows the questions, nothing else, and leads nowhere else."""
    expect(page.get_by_role("button", name="Next", exact=True)).to_be_visible()
    for _ in range(2):
        assert page.get_by_role("navigation").count() == 0
        assert page.get_by_role("link").count() == 0
        assert IDA not in page.content()
        page.evaluate("location.hash = '#/clients'")
        page.wait_for_timeout(100)
    page.evaluate("history.back()")
    page.wait_for_timeout(200)
    expect(page.get_by_role("button", name="Next", exact=True)).to_be_visible()
    assert IDA not in page.content()


def feet_looked_at(hands: Hands) -> None:
    page = hands.page
    hands.answer_all(WELL, "What do you see?")
    page.get_by_role("button", name=re.compile("^heel, centre")).first.click()
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("button", name="Keep")).to_be_disabled()
    hands.choose("Crack", dialog)
    expect(dialog.get_by_label("Length (mm)")).to_be_in_viewport()
    dialog.get_by_label("Length (mm)").fill("14")
    dialog.get_by_label("Depth (mm)").fill("1.5")
    hands.choose("Closed", dialog)
    hands.choose_in("Does it bleed?", "No")
    hands.choose_in("Does it ooze?", "No")
    dialog.get_by_label("Note").fill(f"Dry edge, {STEM}")
    hands.tap("Keep")
    expect(dialog).to_have_count(0)
    hands.tap("Next")
    hands.answer_all(WELL, "What was found")
    hands.sees("Looked at where there is a mark; nobody has said that there is nothing more: Right")
    hands.tap("Save check")
    hands.sees_heading("Outcome")
    hands.sees("The answers and the feet allow the work. This is still missing:")
    hands.sees("Nobody has signed a consent that stands.")
    expect(hands.page.get_by_text("Nothing stands against the work")).to_have_count(0)
    hands.sees("No bit inside a crack.")
    hands.sees("Common practice")


def consented(hands: Hands) -> None:
    """Yes to the work, no to photos and messages, in Spanish for a moment, and the signature."""
    hands.tap("Consent")
    hands.sees("Still missing: whether the client can decide this today")
    hands.may_decide()
    expect(hands.page.get_by_text("Still missing:")).to_have_count(0)
    hands.choose("The client has said that they want this care")
    hands.tap("Hand the phone over")
    hands.sees("What we will not do.")
    hands.tap("Español")
    hands.sees("Qué no haremos.")
    hands.tap("English")
    assert hands.page.get_by_role("link").count() == 0
    for answer in ("Yes, I agree", "No", "No"):
        hands.tap(answer)
    hands.sees_heading("Your answers")
    sign = hands.page.get_by_role("button", name="Sign", exact=True)
    expect(sign).to_be_disabled()
    hands.draw(hands.page.locator("canvas"))
    sign.click()
    hands.take_back()
    hands.sees_heading(IDA)


def visited(hands: Hands) -> None:
    hands.step_on("Visit")
    hands.sees(f"Consent: Signed by {IDA}, ")
    hands.tap("Start the visit")
    hands.tap("Add a softener")
    hands.type("Product", f"Cream {STEM}")
    hands.type("Urea (%)", "10")
    hands.choose_in("Where?", "Left heel")
    hands.tap("It is on: start the timer")
    put_on = time.monotonic()
    clock = hands.page.get_by_role("timer")
    expect(clock).to_be_visible()
    hands.page.wait_for_timeout(1500)
    hands.page.reload()
    hands.unlock()
    # The timer counts from when the softener went on, not from when it is looked at.
    expect(clock).to_be_visible()
    minutes, seconds = map(int, clock.inner_text().split(":"))
    assert 1 <= minutes * 60 + seconds <= time.monotonic() - put_on + 1
    hands.tap("It is off")
    hands.tap("Add a bit")
    hands.choose("Large diamond")
    hands.type("Width of the head (mm)", "10")
    hands.type("Speed (turns a minute)", "15000")
    # pi times 10 mm times 15,000 a minute, in metres a second.
    hands.sees("7.85 m/s")
    hands.choose_in("Where?", "Right heel")
    hands.tap("Keep")
    hands.type("Length after (mm)", "12")
    hands.choose_in("Done", "Edges of cracks smoothed")
    hands.type("Note", f"Went well, {STEM}")
    hands.tap("Go to sign-off")


def signed_off_and_booked_again(hands: Hands) -> None:
    hands.sees_heading("Sign-off")
    hands.type("In how many weeks?", "5")
    hands.tap("Sign off")
    hands.sees_heading("Aftercare")
    hands.sees("Next visit in 5 weeks")
    hands.tap("Book the next visit")
    hands.sees("At sign-off: again in 5 weeks.")
    hands.tap("Book")
    hands.sees_heading(IDA)


def referred(hands: Hands) -> None:
    """Answers that force a referral; from then on no screen offers a way to the visit."""
    hands.open_client(ODA)
    hands.step_on("Health questions")
    hands.answer_all(OLDER | DIABETIC, "Who answered?")
    expect(hands.page.get_by_role("button", name="Save answers")).to_be_disabled()
    hands.choose("The client")
    hands.tap("Save answers")
    hands.sees_heading("Both feet")
    hot = WELL | {"hot_swollen_foot": True, "hot_swollen_foot_side": "left"}
    hands.answer_all(hot, "What do you see?")
    hands.tap("Next")
    hands.answer_all(hot, "What was found")
    hands.tap("Save check")
    hands.sees_heading("Outcome")
    hands.sees("Do not start.")
    expect(hands.page.get_by_text("Limits for this client")).to_have_count(0)
    hands.tap("Letter to the clinician")
    hands.sees("This letter passes on what was said and seen. It is not a diagnosis.")
    hands.sees("Yes (left side)")
    hands.open_client(ODA)
    hands.step_on("Visit")
    hands.sees("There is no way round this.")
    page = hands.page
    assert page.get_by_role("button", name="Start the visit").count() == 0
    page.goto(page.url.replace("/visit", "/sign-off"))
    hands.sees("This visit has not been started.")
    expect(page.get_by_role("button", name="Sign off", exact=True)).to_be_disabled()
