"""A clinician's word is asked for with no signal: the letter is there at once, and the answer leads
to a clearance. Check: our own rule (docs/decisions/0164); axe as in test_axe."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device, of_kind
from tests.system.practice import owner_of
from tests.system.test_axe import Looker
from tests.system.test_held import asked_up_to_the_outcome, at_work, visit_of

ANSWERS = {"ulcer_before": True}
WAITS, LISTED = "Wait for a clinician", "1 letter waits for an answer"


def test_a_letter_is_there_with_no_signal_and_its_answer_leads_to_a_clearance(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    client = visit_of(owner, ANSWERS).client
    phone = new_phone("owner")
    looker = at_work(phone)
    hands = looker.hands
    phone.context.set_offline(True)
    asked_up_to_the_outcome(hands, ANSWERS)
    letter_shown(looker)
    phone.context.set_offline(False)
    hands.fetch()
    hands.waits_until_sent()
    [(letter, row)] = of_kind(owner.pull(), "referral").items()
    assert (row["level"], row["asks"]) == ("needs_clearance", ["ulcer_in_the_past"])
    hands.page.goto(f"/#/referral/{letter}/answer")
    answered(looker, owner)
    hands.page.goto(f"/#/client/{client}")
    hands.sees("Asked for a clearance")
    looker.look("letter-card")
    assert not looker.found, "\n\n".join(looker.found)


def letter_shown(looker: Looker) -> None:
    hands = looker.hands
    looker.look("letter-asked-for")
    hands.page.get_by_role("link", name="Letter to the clinician").first.click()
    hands.sees_heading("Letter that asks for a clearance")
    hands.sees("word before I do any.")
    hands.sees("within weeks, by")
    looker.look("letter-for-a-clearance")
    for path, said in (("today", WAITS), ("attention", LISTED)):
        hands.page.goto(f"/#/{path}")
        hands.sees(said)
        looker.look(f"letter-{path}")


def answered(looker: Looker, owner: Device) -> None:
    hands, page = looker.hands, looker.hands.page
    today = datetime.now(UTC)
    name = page.get_by_label("s name")
    hands.choose("It may go on")
    own = next(
        row for id_, row in of_kind(owner.pull(), "staff").items() if id_ == str(owner.staff)
    )
    name.fill(f"Dr {own['name']}")
    hands.type("Their profession", "Family doctor")
    hands.type("Answered on", (today + timedelta(days=2)).date().isoformat())
    hands.type("What the clinician said", "Yes, but leave the scar alone.")
    hands.sees("who is not the one writing it down")
    hands.sees("Not right yet: Clinician")
    looker.look("letter-own-word")
    name.fill("Dr Invented")
    hands.type("Answered on", (today - timedelta(days=2)).date().isoformat())
    hands.sees("cannot be older than that")
    hands.type("Answered on", today.date().isoformat())
    hands.tap("Save")
    page.wait_for_url("**/clearance/*")
    expect(name).to_have_value("Dr Invented")
    hands.type("Valid until", (today + timedelta(days=90)).date().isoformat())
    hands.sees("Still missing: What shows it")
    hands.type("What shows it", "Told by phone.")
    looker.look("letter-clearance")
    hands.tap("Save")
    page.wait_for_url("**/outcome")
    hands.waits_until_sent()
    [clearance] = of_kind(owner.pull(), "clearance").values()
    assert clearance["covers"] == ["ulcer_in_the_past"]
    for path, heading, gone in (("today", "Today", WAITS), ("attention", "attention", LISTED)):
        page.goto(f"/#/{path}")
        expect(page.get_by_role("heading", name=heading)).to_be_visible()
        expect(page.get_by_text(gone)).to_have_count(0)
