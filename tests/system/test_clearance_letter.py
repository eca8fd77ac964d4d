"""A clinician's word is asked for with no signal: the letter is there at once, and the answer leads to a
clearance. Check: our own rule (docs/decisions/0164); axe as in test_axe."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.test_held import at_work, owner, visit_of  # noqa: F401 - `owner` is a fixture

ANSWERS = {"ulcer_before": True}


def test_the_letter_is_handed_over_with_no_signal_and_answered_by_a_clearance(
    owner: Device,  # noqa: F811
    new_phone: Callable[[str], Phone],
) -> None:
    visit = visit_of(owner, ANSWERS)
    phone = new_phone("owner")
    looker = at_work(phone)
    hands, page = looker.hands, looker.hands.page
    phone.context.set_offline(True)
    hands.open_client("Ida Invented")
    hands.step_on("Health questions")
    hands.answer_all(WELL | ANSWERS | {"ulcer_healed": True}, "Who answered?")
    hands.choose("The client")
    hands.tap("Save answers")
    page.wait_for_url("**/outcome")
    looker.look("letter-asked-for")
    page.get_by_role("link", name="Referral letter").first.click()
    hands.sees_heading("Letter that asks for a clearance")
    hands.sees("I ask for a clinician’s word before I do any.")
    hands.sees("within weeks, by")
    looker.look("letter-for-a-clearance")
    page.goto("/#/today")
    hands.sees("Wait for a clinician")
    looker.look("letter-today")
    page.goto("/#/attention")
    hands.sees("1 referral waits for an answer")
    looker.look("letter-attention")
    phone.context.set_offline(False)
    hands.fetch()
    hands.waits_until_sent()
    [(letter, row)] = of_kind(owner.pull(), "referral").items()
    assert (row["level"], row["asks"]) == ("needs_clearance", ["ulcer_in_the_past"])

    page.goto(f"/#/referral/{letter}/answer")
    hands.choose("It may go on")
    hands.type("Clinician’s name", "Dr Invented")
    hands.type("Their profession", "Family doctor")
    hands.type("Answered on", datetime.now(UTC).date().isoformat())
    hands.type("What the clinician said", "Yes, but leave the scar alone.")
    hands.tap("Save")
    hands.sees_heading("Clinician’s clearance")
    expect(page.get_by_label("Clinician’s name")).to_have_value("Dr Invented")
    hands.type("Valid until", (datetime.now(UTC) + timedelta(days=90)).date().isoformat())
    looker.look("letter-clearance")
    hands.tap("Save")
    page.wait_for_url("**/outcome")
    hands.waits_until_sent()
    [clearance] = of_kind(owner.pull(), "clearance").values()
    assert clearance["covers"] == ["ulcer_in_the_past"]
    page.goto("/#/attention")
    hands.sees_heading("Needs attention")
    expect(page.get_by_text("waits for an answer")).to_have_count(0)
    page.goto("/#/today")
    hands.sees("Ida Invented")
    expect(page.get_by_text("Wait for a clinician")).to_have_count(0)
    page.goto(f"/#/client/{visit.client}")
    hands.sees("Asked for a clearance")
    looker.look("letter-card")
    assert not looker.found, "\n\n".join(looker.found)
