"""A client who comes back confirms or changes, on the real screens.

Check: our own rule; axe as in test_axe.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.furnished import OWNER
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import owner_of
from tests.system.test_axe import Looker

NOTHING = re.compile("^Nothing (else )?has changed")
BEFORE = WELL | {"allergy_latex": True, "numb_feet": "dont_know"}


@dataclass
class Returning:
    owner: Device
    visit: HomeVisit
    looker: Looker

    @property
    def hands(self) -> Hands:
        return self.looker.hands

    def screens(self) -> list[dict[str, Any]]:
        rows = of_kind(self.owner.pull(), "health_screen").values()
        return sorted(rows, key=lambda row: str(row["screened_at"]))


@pytest.fixture
def returning(live_server_process: ServedApp, new_phone: Callable[[str], Phone]) -> Returning:
    owner = owner_of(live_server_process)
    then = datetime.now(UTC) - timedelta(days=42)
    visit = HomeVisit(owner.staff, BEFORE, arrived=then, starts_at=noon_today())
    owner.must("register_client", **visit.card())
    owner.must("book_visit", **visit.booked())
    by_family = {"answered_by": "family", "answered_by_name": "Bo Invented"}
    owner.must("record_screen", **visit.screened(**by_family))
    phone = new_phone("owner")
    phone.open().set_default_timeout(60_000)
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    return Returning(owner, visit, Looker(hands))


def walk(
    hands: Hands, answers: dict[str, Any], end: str, look: Callable[[str], None] | None = None
) -> set[str]:
    """Confirms what is recalled and answers what is put; says what was put."""
    return hands.answer_all(answers, end, look, first=lambda: confirm(hands))


def confirm(hands: Hands) -> None:
    """What this screen recalls, where it recalls anything."""
    button = hands.page.get_by_role("button", name=NOTHING)
    if button.count():
        # A tick before the tap would say that it was tapped.
        expect(button.locator("svg")).to_have_count(0)
        button.click()
        expect(button.locator("svg")).to_have_count(1)


def to_what_is_recalled(hands: Hands) -> None:
    """Through the pages that are asked each time."""
    heading = hands.page.get_by_role("heading", level=1)
    while not hands.page.get_by_role("button", name=NOTHING).count():
        before = heading.inner_text()
        hands.answer_screen(WELL)
        hands.tap("Next")
        expect(heading).not_to_have_text(before, timeout=10_000)


def test_earlier_answers_are_confirmed_by_group_and_changed_one_by_one(
    returning: Returning,
) -> None:
    hands, looker = returning.hands, returning.looker
    hands.open_client("Ida Invented")
    hands.step_on("Health questions")
    hands.sees("Do you feel ill today")
    expect(hands.page.get_by_role("button", name=NOTHING)).to_have_count(0)
    to_what_is_recalled(hands)
    hands.sees("by family, Bo Invented")
    looker.look("still-so")
    # Nobody has said so yet: going on asks for it.
    hands.tap("Next")
    hands.sees("Is all of this still so?")
    looker.look("still-so-asked")
    hands.tap("Change: Do you have heart trouble?")
    hands.choose_in("Do you have heart trouble?", "Yes")
    looker.look("still-so-changed")
    changed = {"heart_trouble": True, "heart_device": False}
    put = walk(hands, WELL | changed, "Who answered?", looker.look)
    looker.look("health-screen-end")
    hands.choose("Family")
    hands.type("Their name", "Bo Invented")
    hands.tap("Save answers")
    hands.page.wait_for_url("**/feet")
    hands.waits_until_sent()
    first, second = returning.screens()
    assert second["answers"] == first["answers"] | changed | {"numb_feet": False}
    assert str(second["from_screen"]) == str(returning.visit.screen)
    confirmed = set(second["confirmed"])
    assert {"diabetes", "allergy_latex", "ulcer_before"} <= confirmed
    # Asked afresh: about today, unknown then, changed.
    assert not confirmed & {"unwell_today", "understands_today", "numb_feet", "heart_trouble"}
    assert {"numb_feet", "understands_today"} <= put
    assert not put & confirmed
    assert not looker.found, "\n\n".join(looker.found)


def test_a_client_who_holds_the_phone_confirms_alone(returning: Returning) -> None:
    hands, looker = returning.hands, returning.looker
    hands.choose_pin()
    hands.open_client("Ida Invented")
    hands.tap("Let the client answer")
    hands.sees("Do you feel ill today")
    walk(hands, WELL, "Thank you", looker.look)
    hands.take_back()
    hands.sees_heading("Saying yes or no")
    walk(hands, WELL, "Who answered?")
    expect(hands.page.get_by_label("The client", exact=True)).to_be_checked()
    hands.tap("Save answers")
    hands.page.wait_for_url("**/feet")
    hands.waits_until_sent()
    second = returning.screens()[-1]
    assert (second["answered_by"], second["answered_by_name"]) == ("client", "")
    assert {"diabetes", "allergy_latex"} <= set(second["confirmed"])
    assert not looker.found, "\n\n".join(looker.found)


def test_an_emergency_does_not_wait_for_the_other_questions(returning: Returning) -> None:
    hands = returning.hands
    hands.open_client("Ida Invented")
    hands.step_on("Health questions")
    hands.choose_in("Do you have chest pain, or is it hard to breathe right now?", "Yes")
    returning.looker.look("emergency-at-once")
    hands.tap("Stop asking, and save")
    hands.sees("What is open may hold the work.")
    returning.looker.look("end-with-groups-open")
    hands.choose("The client")
    hands.tap("Save answers")
    hands.page.wait_for_url("**/outcome")
    hands.waits_until_sent()
    assert returning.screens()[-1]["outcome"] == "emergency"
    assert not returning.looker.found, "\n\n".join(returning.looker.found)
