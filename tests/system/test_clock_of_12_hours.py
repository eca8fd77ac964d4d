"""A phone that writes times by the 12-hour clock: AM and PM stand whole in every field, and both
ends of a stop are written alike.

Check: our own rule; how wide a field has to be says Chromium.
"""

import os
import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.furnished import furnish
from tests.system.home_visit import noon_today
from tests.system.unsent import signed_in

PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
WIDTHS = (360, 320, 1280)
FROM_TO = re.compile(r"^\d{1,2}:\d\d\s[AP]M\u2013\d{1,2}:\d\d\s[AP]M$")
# Each beside what it would take where nothing bounds it.
FIELDS = """() => [...document.querySelectorAll("main input[type=time]")].map((field) => {
  const free = field.cloneNode();
  free.value = field.value;
  free.style.cssText = "position: absolute; width: max-content; min-width: 0";
  field.after(free);
  const widths = [field.offsetWidth, free.offsetWidth];
  free.remove();
  return widths;
})"""


def test_times_are_whole_and_written_alike(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    practice = furnish(live_server_process)
    phone = new_phone("american")
    phone.looks["locale"] = "en-US"
    hands = signed_in(phone)
    page = hands.page
    page.goto(f"/#/client/{practice.ids['client']}/book")
    hands.type("Day", (noon_today() + timedelta(days=8)).date().isoformat())
    hands.type("Time", "10:00")
    whole(page, "book", fields=1)
    page.goto("/#/hours")
    for day in ("Monday", "Friday"):
        hands.choose(day)
    whole(page, "hours", fields=4)
    page.goto(f"/#/facility/{practice.ids['facility']}/edit")
    hands.tap("Add a quiet time")
    page.get_by_label("From").fill("11:30")
    page.get_by_label("To").fill("12:30")
    whole(page, "house", fields=2)
    page.goto(f"/#/facility/{practice.ids['facility']}/round")
    hands.type("Day", (noon_today() + timedelta(days=9)).date().isoformat())
    hands.type("Begins at", "08:45")
    hands.choose("Olive Owner")
    hands.tap("Choose all")
    stops = page.get_by_role("list", name="Stops of Olive Owner, in order").locator("strong")
    expect(stops.first).to_have_text(re.compile(r"^8:45\sAM\u20139:\d\d\sAM$"))
    whole(page, "round", fields=1)
    page.goto(f"/#/round/{practice.ids['round']}")
    expect(page.get_by_role("listitem").locator("strong").first).to_have_text(FROM_TO)


def whole(page: Page, name: str, fields: int) -> None:
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 780})
        widths = page.evaluate(FIELDS)
        assert len(widths) == fields
        assert [pair for pair in widths if pair[0] < pair[1]] == [], f"{name} at {width}"
        if PICTURES:
            page.screenshot(path=Path(PICTURES) / f"{name}-12-{width}.png", full_page=True)
