"""The ways in that nobody plans for: a forgotten passphrase, a phone shut out, or closed by itself.

Check: our own rule; for the screens, axe as in test_axe.
"""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device
from tests.system.hands import PASSPHRASE
from tests.system.practice import owner_of
from tests.system.test_axe import Looker
from tests.system.unsent import (
    UNA,
    enter_offline,
    forget,
    names,
    sign_in_anew,
    signed_in,
)

# A phone from before a practice had a key to leave a copy for; test_recovery has the other way.
NO_COPY = """() => new Promise((resolve) => {
  indexedDB.open("heelwright").onsuccess = ({ target: { result: db } }) => {
    const meta = db.transaction("meta", "readwrite").objectStore("meta");
    meta.get("wrapped_key").onsuccess = ({ target: { result: { recovery, ...wrapped } } }) => {
      meta.put(wrapped, "wrapped_key").onsuccess = () => resolve();
    };
  };
})"""

LEFT_ALONE = "dispatchEvent(new Event('pagehide'))"


@pytest.fixture
def other(live_server_process: ServedApp) -> Device:
    return owner_of(live_server_process)


@pytest.fixture
def looker(other: Device, new_phone: Callable[[str], Phone]) -> Looker:
    return Looker(signed_in(new_phone("owner")))


def test_work_under_a_forgotten_passphrase_is_set_aside_and_sent_later(
    looker: Looker, other: Device
) -> None:
    hands = looker.hands
    forget(hands, NO_COPY)
    hands.sees("2 entries wait here")
    looker.look("door-forgotten")
    expect(hands.page.get_by_role("button", name="Set it aside")).to_be_disabled()

    hands.phone.context.set_offline(False)
    hands.type("Type 2 to go on", "2")
    hands.tap("Set it aside")
    hands.sees_heading("Sign in")
    looker.look("door-sign-in-again")
    sign_in_anew(hands, "Sync")
    hands.waits_until_sent()
    hands.sees("2 entries wait here")
    looker.look("sync-set-aside")
    assert names(other) == []

    hands.type("The passphrase from before", PASSPHRASE)
    hands.tap("Open it and send it")
    expect(hands.page.get_by_text("2 entries wait here")).to_have_count(0)
    hands.waits_until_sent()
    assert names(other) == [UNA]
    assert not looker.found, "\n\n".join(looker.found)


def test_a_phone_that_was_shut_out_says_why_and_can_start_anew(
    looker: Looker, other: Device
) -> None:
    hands = looker.hands
    hands.page.goto("/#/settings")
    number = hands.page.get_by_text(re.compile("^Number ")).inner_text()
    other.must("revoke_device", device=number.removeprefix("Number "))
    hands.page.evaluate("dispatchEvent(new Event('online'))")
    hands.sees_heading("This phone has been shut out")
    looker.look("door-shut-out")
    hands.tap("Sign in as a new phone")
    sign_in_anew(hands, "Today")
    hands.waits_until_sent()
    assert not looker.found, "\n\n".join(looker.found)


def test_a_phone_that_closed_itself_says_why_and_comes_back_to_where_it_was(looker: Looker) -> None:
    hands = looker.hands
    forgotten = hands.page.get_by_role("button", name="I forgot the passphrase")
    enter_offline(hands)
    hands.page.evaluate(LEFT_ALONE)
    hands.sees("You come back to where you were.")
    hands.sees("A PIN makes this shorter.")
    expect(forgotten).to_be_visible()
    looker.look("door-cover-no-pin")
    hands.unlock()
    hands.sees_heading(UNA)

    hands.tap("Let the client answer")
    expect(hands.page.get_by_role("button", name="Next", exact=True)).to_be_visible()
    hands.page.evaluate(LEFT_ALONE)
    hands.sees("The technician opens the phone again. Nothing is lost.")
    expect(forgotten).to_have_count(0)
    expect(hands.page.get_by_text("A PIN makes")).to_have_count(0)
    looker.look("door-cover-client-mode")
    assert not looker.found, "\n\n".join(looker.found)
