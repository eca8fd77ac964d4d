"""What the strip says of a phone that can't open the app without a signal, and of one that can.
Our own words, no published source."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.system.unsent import signed_in

pytestmark = pytest.mark.system


def test_a_forced_reload_is_no_missing_app_and_a_browser_that_keeps_none_is_told_of(
    new_phone: Callable[[str], Phone],
) -> None:
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.context.new_cdp_session(page).send("Page.reload", {"ignoreCache": True})
    hands.unlock()
    assert page.evaluate("navigator.serviceWorker.controller === null")
    expect(page.get_by_text("Still fetching the app")).to_have_count(0)

    faults: list[str] = []
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.add_init_script("delete Navigator.prototype.serviceWorker")
    page.reload()
    hands.unlock()
    hands.sees("Opens only with a signal in this window")
    assert faults == []
