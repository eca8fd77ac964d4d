"""A coordinator's round with the keyboard alone: residents from a list, then who is seen when.

Check: our own rule; axe as in test_axe.
"""

import os
import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

from playwright.sync_api import Locator, Page, expect

from heelwright.ids import new_id
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.device import Device, of_kind
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import hire, owner_of
from tests.system.test_axe import Looker

CORA = "cora@practice.test"
CLEO = "cleo@practice.test"
LATER = "11:10"
PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
LIST = (
    "Name,Date of birth,Room,Corridor,See last\n"
    "Ana Invented,12/03/1938,9,North,\n"
    "Bo Invented,25/12/1940,10,North,\n"
    "Cy Invented,01/02/1935,1,South,\n"
    "Di Invented,30/06/1941,2,South,yes\n"
    "Ed Invented,1944,3,South,\n"
)


def house_of(owner: Device, cora: Device) -> str:
    house = new_id()
    owner.must("register_facility", facility=house, name="Invented House")
    owner.must("assign_facility", facility=house, staff=cora.staff)
    times = [{"name": "Lunch", "starts": "12:00", "ends": "13:00"}]
    card = {"quiet_times": times, "corridors": ["South", "North"]}
    owner.must("amend_facility", facility=house, seen=0, changes=card)
    return str(house)


def pressed(page: Page, control: str, key: str = "Space") -> None:
    """Somebody who has no mouse comes to a control by tabbing; here it has the focus at once."""
    at = page.get_by_role("main").get_by_label(control, exact=True).first
    at.focus()
    page.keyboard.press(key)


def test_a_coordinator_plans_a_round_by_keyboard(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    cora = hire(live_server_process, owner, CORA, "coordinator")
    house = house_of(owner, cora)
    phone = new_phone("cora")
    phone.open().set_default_timeout(60_000)
    hands, page = Hands(phone), phone.page
    looker = Looker(hands)
    hands.sign_in(CORA)
    hands.waits_until_sent()
    takes_in_the_list(hands, looker, house)
    puts_them_in_order(hands, house)
    drags_one(page)
    looker.look("round")
    photographed(page, "round")
    page.get_by_role("button", name="Book 4 visits").focus()
    page.keyboard.press("Enter")
    hands.sees("4 stops")
    looker.look("round-day")
    photographed(page, "round-day")
    hands.waits_until_sent()
    rows = of_kind(owner.pull(), "client")
    booked = sorted(of_kind(owner.pull(), "booking").values(), key=lambda one: one["starts_at"])
    assert [rows[one["client"]]["name"][:2] for one in booked] == ["Bo", "Cy", "An", "Di"]
    changes_the_round(hands, page)
    walked = sorted(of_kind(owner.pull(), "booking").values(), key=lambda one: one["starts_at"])
    assert [one["client"] for one in walked] == [one["client"] for one in booked]
    assert walked[0]["starts_at"] != booked[0]["starts_at"]
    assert not looker.found, "\n\n".join(looker.found)


def test_a_round_that_is_refused_leads_to_the_time_that_is_taken(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    """The technician is elsewhere then, with a client of whom the coordinator's phone knows
    nothing."""
    owner = owner_of(live_server_process)
    cleo = hire(live_server_process, owner, CLEO, "coordinator")
    house = house_of(owner, cleo)
    noon = noon_today() + timedelta(days=9)
    books_around(owner, house, noon)
    phone = new_phone("cleo")
    phone.open().set_default_timeout(60_000)
    hands = Hands(phone)
    looker = Looker(hands)
    hands.sign_in(CLEO)
    hands.waits_until_sent()
    books_after_lunch(hands, house, noon.date())
    looker.look("round-moves")
    photographed(hands.page, "round-moves")
    hands.tap("Book 2 visits")
    hands.sees_heading("Not done: the practice refused it")
    hands.sees("The entry about this was refused")
    looker.look("round-refused")
    photographed(hands.page, "round-refused")
    hands.tap("See why, under Attention")
    on = f"on {noon.day} {noon:%B %Y}"
    hands.sees(f"The technician has another visit from 13:00 to 13:40 {on}.")
    hands.page.get_by_text("What was typed").click()
    hands.sees("min, by Olive Owner")
    looker.look("round-attention")
    photographed(hands.page, "round-attention")
    told = hands.page.get_by_role("main").inner_text()
    assert "Somebody Elsewhere" not in told
    assert house not in told
    assert not looker.found, "\n\n".join(looker.found)


def changes_the_round(hands: Hands, page: Page) -> None:
    """It starts from the round as it stands: an order that a person made stays."""
    first = page.get_by_role("listitem").filter(has_text="Booked").first.locator("strong")
    starts = first.inner_text()[:5]
    hands.tap("Change this round")
    begins = page.get_by_label("Begins at", exact=True)
    expect(begins).to_have_value(starts)
    begins.fill(LATER)
    hands.tap("Change the round: 4 visits")
    expect(first).to_contain_text(LATER)
    hands.waits_until_sent()


def books_around(owner: Device, house: str, noon: datetime) -> None:
    """Ana two days later, Bo on the day itself, and after lunch somebody who lives elsewhere."""
    for name, at, lives in (
        ("Ana Invented", noon + timedelta(days=2), {"facility": house}),
        ("Bo Invented", noon + timedelta(hours=2, minutes=15), {"facility": house}),
        ("Somebody Elsewhere", noon + timedelta(hours=1), {}),
    ):
        visit = HomeVisit(owner.staff, starts_at=at)
        owner.must("register_client", **visit.card(name=name, **lives))
        owner.must("book_visit", **visit.booked())


def books_after_lunch(hands: Hands, house: str, day: date) -> None:
    page = hands.page
    page.goto(f"/#/facility/{house}/round")
    hands.type("Day", day.isoformat())
    hands.type("Begins at", "13:10")
    pressed(page, "Olive Owner")
    expect(page.get_by_role("listitem").filter(has_text="Ana Invented")).to_contain_text(
        "Booked for "
    )
    pressed(page, "Ana Invented")
    stops = page.get_by_role("list", name="Stops of Olive Owner, in order").get_by_role("listitem")
    moved = stops.filter(has_text="Bo Invented")
    expect(moved).to_contain_text("Moves the booked visit from 14:15")


def puts_them_in_order(hands: Hands, house: str) -> None:
    page = hands.page
    day = (noon_today() + timedelta(days=7)).date().isoformat()
    page.goto(f"/#/facility/{house}/round")
    hands.type("Day", day)
    hands.type("Begins at", "11:00")
    pressed(page, "Olive Owner")
    everybody = page.get_by_role("button", name="Choose all")
    everybody.focus()
    page.keyboard.press("Enter")
    # Nobody has a consent yet.
    expect(page.get_by_role("button", name="Book 0 visits")).to_be_disabled()
    pressed(page, "Leave out who has no consent")
    everybody.focus()
    page.keyboard.press("Enter")
    hands.sees("No consent yet")
    stops = page.get_by_role("list", name="Stops of Olive Owner, in order").get_by_role("listitem")
    expect(stops).to_have_text([pattern(who) for who in ("Cy", "Ana", "Bo", "Di")])
    first = stops.nth(0)
    expect(first).to_contain_text("11:00")
    # Lunch is left free.
    expect(stops.nth(2)).to_contain_text("13:00")
    handle = page.get_by_role("button", name="Move 10 · Bo Invented, place 3 of 4")
    handle.focus()
    page.keyboard.press("ArrowUp")
    expect(page.get_by_text("10 · Bo Invented: place 2 of 4, at 11:30")).to_be_attached()
    page.keyboard.press("ArrowUp")
    expect(stops).to_have_text([pattern(who) for who in ("Bo", "Cy", "Ana", "Di")])
    assert "Bo Invented, place 1 of 4" in (page.locator(":focus").get_attribute("aria-label") or "")
    page.keyboard.press("ArrowUp")
    expect(page.get_by_text("10 · Bo Invented is the first already")).to_be_attached()


def drags_one(page: Page) -> None:
    """Down to the end by its handle, and back; with a mouse, then with a finger."""
    stops = page.get_by_role("list", name="Stops of Olive Owner, in order").get_by_role("listitem")
    before = ("Bo", "Cy", "Ana", "Di")
    after = ("Cy", "Ana", "Di", "Bo")
    stops.first.evaluate("(stop) => stop.scrollIntoView()")
    touch = page.context.new_cdp_session(page)

    def touched(kind: str, *at: float) -> None:
        points = [{"x": at[0], "y": at[1]}] if at else []
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def by_mouse(places: list[tuple[float, float]]) -> None:
        page.mouse.move(*places[0])
        page.mouse.down()
        for place in places:
            page.mouse.move(*place)
        page.mouse.up()
        # It is let go: nothing follows the pointer any more.
        page.mouse.move(*places[0])

    def by_finger(places: list[tuple[float, float]]) -> None:
        touched("touchStart", *places[0])
        for place in places:
            touched("touchMove", *place)
        touched("touchEnd")

    for by in (by_mouse, by_finger):
        for start, end, order in ((0, 3, after), (3, 0, before)):
            by(way(stops.nth(start), stops.nth(end)))
            expect(stops).to_have_text([pattern(who) for who in order])


def way(of: Locator, to: Locator) -> list[tuple[float, float]]:
    """From the handle of one stop past the place of another, and off the handles' column."""
    handle = of.get_by_role("button").first.bounding_box()
    end = to.bounding_box()
    assert handle and end
    x, y = handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2
    far = end["y"] + (end["height"] + 30 if end["y"] > y else -10)
    return [(x + step * 10, y + (far - y) * step / 6) for step in range(7)]


def pattern(name: str) -> re.Pattern[str]:
    return re.compile(f"{name} Invented")


def takes_in_the_list(hands: Hands, looker: Looker, house: str) -> None:
    page = hands.page
    page.goto(f"/#/facility/{house}/take-in")
    page.get_by_label("The list, as CSV").set_input_files(
        {"name": "list.csv", "mimeType": "text/csv", "buffer": LIST.encode()}
    )
    hands.sees("Lines: 5. New: 4. Changed: 0. The same as now: 0.")
    hands.sees("Line 6.")
    expect(page.get_by_role("button", name="Take in 4 residents")).to_be_disabled()
    page.get_by_text("See all 4 new or changed").click()
    hands.sees("Date of birth: 12 March 1938")
    pressed(page, "Leave 1 line out, and take in the others")
    looker.look("take-in")
    photographed(page, "take-in")
    page.get_by_role("button", name="Take in 4 residents").focus()
    page.keyboard.press("Enter")
    hands.sees_heading("Residents")
    hands.waits_until_sent()


def photographed(page: Page, name: str) -> None:
    """With HEELWRIGHT_PICTURES: as on a tablet, on a desk and on the narrowest phone."""
    if not PICTURES:
        return
    before = page.viewport_size
    for width, height in ((820, 1180), (1280, 900), (320, 780)):
        page.set_viewport_size({"width": width, "height": height})
        path = Path(PICTURES) / f"{name}-{width}.png"
        page.screenshot(path=path, full_page=True)
    if before:
        page.set_viewport_size(before)
