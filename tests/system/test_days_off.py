"""Days off over booked visits: the screen names them before, and adds the days all the same.

Check: our own rule.
"""

from collections.abc import Callable
from datetime import timedelta

from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import of_kind
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import owner_of
from tests.system.unsent import signed_in


def test_days_off_name_the_visits_that_are_booked_on_them(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    visit = HomeVisit(owner.staff, starts_at=noon_today() + timedelta(days=1))
    owner.must("register_client", **visit.card())
    owner.must("book_visit", **visit.booked())
    day = visit.starts_at.date().isoformat()
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/hours")
    page.get_by_label("First day").fill(day)
    hands.sees("1 visit is booked on these days")
    leads = page.get_by_role("link", name="Ida Invented")
    expect(leads).to_have_attribute("href", f"#/booking/{visit.booking}")
    hands.tap("Add days off")
    expect(leads).to_have_count(0)
    hands.waits_until_sent()
    [off] = of_kind(owner.pull(), "time_off").values()
    assert (off["staff"], off["first"]) == (str(owner.staff), day)
    assert of_kind(owner.pull(), "booking")[str(visit.booking)]["state"] == "booked"
