"""A practice's own rules on the real screens: written by its owner, judged by with no signal.

Check: our own rule; the rules are invented; axe as in test_axe.
"""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.factories import OWN_RULES
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.furnished import OWNER
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import hire, owner_of
from tests.system.test_axe import Looker

TECHNICIAN = "tess@practice.test"


@pytest.fixture
def owner(live_server_process: ServedApp) -> Device:
    return owner_of(live_server_process)


def signed_in(phone: Phone, email: str) -> Hands:
    phone.open().set_default_timeout(60_000)
    hands = Hands(phone)
    hands.sign_in(email)
    hands.waits_until_sent()
    return hands


def test_the_owner_writes_them_and_is_told_what_is_wrong(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    hands = signed_in(new_phone("owner"), OWNER)
    looker = Looker(hands)
    hands.page.goto("/#/rules/own")
    hands.type("Your rules", OWN_RULES.split("words:")[0])
    looker.look("own-rules")
    hands.tap("Put in force")
    hands.sees("Your rules were not taken")
    hands.sees("rule.own_falls: has no words")
    looker.look("own-rules-refused")
    hands.tap("Go on with what you wrote")
    hands.tap("Go back to it")
    hands.sees_heading("Rules of our own")
    expect(hands.page.get_by_label("Your rules", exact=True)).to_have_value(
        OWN_RULES.split("words:")[0]
    )
    hands.page.locator("input[type=file]").set_input_files(
        {"name": "own.yaml", "mimeType": "text/yaml", "buffer": OWN_RULES.encode()}
    )
    hands.tap("Put in force")
    hands.sees("1 rule of your own is in force.")
    hands.phone.context.set_offline(True)
    hands.type("Find a rule", "family first")
    hands.sees("Added by your practice")
    looker.look("rules-found")
    (row,) = of_kind(owner.pull(), "practice").values()
    assert row["own_rules"] == OWN_RULES
    assert not looker.found, "\n\n".join(looker.found)


def test_a_refusal_is_not_told_of_once_good_rules_were_taken(
    owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    hands = signed_in(new_phone("owner"), OWNER)
    for text, said in (
        (OWN_RULES.split("words:")[0], "Your rules were not taken"),
        (OWN_RULES, "1 rule of your own is in force."),
    ):
        hands.page.goto("/#/rules/own")
        hands.type("Your rules", text)
        hands.tap("Put in force")
        hands.sees(said)
    expect(hands.page.get_by_text("Your rules were not taken")).to_have_count(0)
    expect(hands.page.get_by_text("Go on with what you wrote")).to_have_count(0)
    hands.page.goto("/#/attention")
    hands.sees("rule.own_falls: has no words")


def test_a_technicians_phone_judges_by_them_with_no_signal(
    live_server_process: ServedApp, owner: Device, new_phone: Callable[[str], Phone]
) -> None:
    technician = hire(live_server_process, owner, TECHNICIAN)
    visit = HomeVisit(technician.staff, WELL, starts_at=noon_today())
    technician.must("register_client", **visit.card())
    technician.must("book_visit", **visit.booked())
    hands = signed_in(new_phone("technician"), TECHNICIAN)
    owner.must("adopt_practice_rules", text=OWN_RULES)
    hands.fetch()
    hands.page.goto("/#/rules")
    hands.type("Find a rule", "family first")
    hands.sees("Added by your practice")
    hands.phone.context.set_offline(True)
    hands.open_client("Ida Invented")
    hands.step_on("Health questions")
    hands.sees("Do you feel ill today")
    hands.answer_all(WELL | {"bruise_easily": True}, "Who answered?")
    hands.choose("The client")
    hands.tap("Save answers")
    # Before anybody has looked at the feet.
    hands.page.wait_for_url("**/outcome")
    hands.sees("Ask the family first.")
    hands.sees("The feet were not looked at")
