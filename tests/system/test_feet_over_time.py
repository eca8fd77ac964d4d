"""Two looks at the same feet, weeks apart: what was found is looked for again and charted.

What must be on screen is our own rule; the measures are invented.
"""

import os
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from heelwright.ids import new_id
from tests.factories import decision, sheet_args
from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.camera import take_photo
from tests.system.device import Device, of_kind
from tests.system.furnished import OWNER
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit
from tests.system.practice import owner_of
from tests.system.test_axe import Looker

pytestmark = pytest.mark.system
PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
AT_HEEL = {"foot": "left", "view": "sole", "region": "heel_centre"}
CRACK = AT_HEEL | {"id": "crack-1", "what": "crack", "length_mm": 12, "depth_mm": 1,
                   "state": "closed", "bleeding": False, "oozing": False}  # fmt: skip
OF_CRACK = "Left foot, sole"
CALLUS = {"id": "callus-1", "foot": "right", "view": "sole", "region": "ball_inner",
          "what": "callus"}  # fmt: skip
DRY = {"id": "dry-1", "foot": "right", "view": "top", "region": "instep", "what": "dryness"}


def picture(page: Page, name: str) -> None:
    """The screen at three widths, in both colour schemes."""
    if not PICTURES:
        return
    for width, height in ((360, 780), (320, 780), (1200, 900)):
        page.set_viewport_size({"width": width, "height": height})
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
            path = Path(PICTURES) / f"{name}-{width}-{scheme}.png"
            page.screenshot(path=path, full_page=True)
    page.set_viewport_size({"width": 360, "height": 780})
    page.emulate_media(color_scheme="light")


@pytest.fixture
def day(live_server_process: ServedApp) -> HomeVisit:
    """A client whose feet were looked at three weeks ago."""
    owner = owner_of(live_server_process)
    day = HomeVisit(owner.staff, WELL, [CRACK, CALLUS, DRY])
    owner.must("register_client", **day.card())
    owner.must("record_screen", **day.screened())
    before = day.after(5) - timedelta(days=21)
    owner.must("record_foot_check", **day.checked(checked_at=before))
    return day


def agreed_to_photos(server: ServedApp, day: HomeVisit) -> Device:
    owner = Device.sign_in(server.base_url, OWNER)
    decisions = [decision("foot_care"), decision("photos")]
    at = day.after(4).isoformat()
    sheet = sheet_args(client=str(day.client), decided_at=at, decisions=decisions)
    owner.must("record_consent_sheet", **sheet)
    return owner


def test_what_was_found_is_looked_for_again(
    day: HomeVisit, live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = agreed_to_photos(live_server_process, day)
    phone = new_phone("owner")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    on_the_map(hands, day)
    hands.sees("Last time: 3 to look for")
    hands.sees("0 findings")
    picture(hands.page, "foot-last-time")
    looker = Looker(hands)
    looker.look("foot-last-time")
    measure_again(hands)
    hands.page.get_by_role("group", name="Right foot, top: top, instep").get_by_role(
        "button", name="Gone"
    ).click()
    hands.tap("Still there")
    hands.sees("2 findings")
    walk_on(hands)
    picture(hands.page, "foot-walked")
    hands.tap("Next")
    hands.answer_all(WELL, "What was found")
    picture(hands.page, "foot-check-end")
    hands.tap("Save check")
    hands.sees_heading("Outcome")
    hands.waits_until_sent()
    over_time(hands.page, day)
    looker.look("feet-over-time")
    assert not looker.found, "\n\n".join(looker.found)
    on_the_map(hands, day)
    hands.sees("Last time: 2 to look for")
    again = hands.page.get_by_role("img", name=OF_CRACK)
    expect(again).to_be_visible()
    again.scroll_into_view_if_needed()
    picture(hands.page, "foot-last-time-photo")
    [photo] = of_kind(owner.pull(), "photo").values()
    assert (photo["purpose"], photo["foot"], photo["view"]) == ("finding", "left", "sole")


def test_what_nobody_looked_for_is_still_there(
    day: HomeVisit, new_phone: Callable[[str], Phone], live_server_process: ServedApp
) -> None:
    owner = Device.sign_in(live_server_process.base_url, OWNER)
    phone = new_phone("owner")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    on_the_map(hands, day)
    hands.tap("Next")
    hands.answer_all(WELL, "What was found")
    hands.sees("Nobody looked for 3 findings of last time. They are taken as still there")
    expect(hands.page.get_by_text("Crack, 12 mm long")).to_be_visible()
    expect(hands.page.get_by_text("0 findings")).to_have_count(0)
    picture(hands.page, "foot-check-carried")
    looker = Looker(hands)
    looker.look("foot-check-carried")
    hands.tap("Save check")
    hands.sees_heading("Outcome")
    hands.waits_until_sent()
    checks = of_kind(owner.pull(), "foot_check").values()
    newest = max(checks, key=lambda check: check["checked_at"])
    assert {one["follows"] for one in newest["findings"]} == {"crack-1", "callus-1", "dry-1"}
    assert not any(one["looked"] for one in newest["findings"])
    hands.page.goto(f"/#/client/{day.client}/over-time")
    expect(hands.page.get_by_text("Not looked at again since.")).to_have_count(3)
    expect(hands.page.get_by_role("table").get_by_role("row")).to_have_count(2)
    stays_in_its_card(hands.page)
    looker.look("feet-over-time-carried")
    assert not looker.found, "\n\n".join(looker.found)


def test_a_field_left_open_is_named_and_led_to(
    day: HomeVisit, new_phone: Callable[[str], Phone], live_server_process: ServedApp
) -> None:
    owner = Device.sign_in(live_server_process.base_url, OWNER)
    bare = CRACK | {"id": "crack-2", "follows": "crack-1", "depth_mm": None}
    owner.must("record_foot_check", **day.checked(check=new_id(), findings=[bare]))
    phone = new_phone("owner")
    phone.open()
    hands = Hands(phone)
    hands.sign_in(OWNER)
    hands.page.goto(f"/#/client/{day.client}/outcome")
    hands.sees("1 answer is still open")
    hands.sees("Crack (Left foot, sole: heel, centre): Depth")
    hands.tap("Look now")
    hands.answer_all(WELL, "What do you see?")
    expect(hands.page.get_by_role("dialog").get_by_label("Depth (mm)")).to_be_visible()
    hands.tap("Cancel")
    hands.tap("Next")
    hands.answer_all(WELL, "What was found")


def on_the_map(hands: Hands, day: HomeVisit) -> None:
    hands.page.goto(f"/#/client/{day.client}/feet")
    hands.sees_heading("Both feet")
    hands.answer_all(WELL, "What do you see?")


def measure_again(hands: Hands) -> None:
    hands.tap("Still there: measure")
    dialog = hands.page.get_by_role("dialog")
    expect(dialog.get_by_text("Last time 12 mm.")).to_be_visible()
    take_photo(hands, "Take a photo of it")
    expect(dialog.get_by_role("img", name=OF_CRACK)).to_be_visible()
    picture(hands.page, "foot-measure-again")
    dialog.get_by_label("Length (mm)").fill("10")
    dialog.get_by_label("Depth (mm)").fill("3")
    hands.choose("Closed", dialog)
    for question in ("Does it bleed?", "Does it ooze?"):
        hands.choose("No", dialog.get_by_role("group", name=question, exact=True))
    hands.tap("Keep")


def walk_on(hands: Hands) -> None:
    """Side by side round the map. Two sides have findings of today."""
    words = {"right_sole": "Nothing more to note here", "left_sole": "Nothing more to note here"}
    for part in ("right_sole", "right_top", "left_sole", "left_top"):
        hands.tap(words.get(part, "Nothing to note here"))
    hands.sees("4 of 4 sides looked at in full")


def stays_in_its_card(page: Page) -> None:
    """On the narrowest phone."""
    page.set_viewport_size({"width": 320, "height": 780})
    spills = "cards => cards.filter(card => card.scrollWidth > card.clientWidth).length"
    assert page.locator("main section").evaluate_all(spills) == 0
    page.set_viewport_size({"width": 360, "height": 780})


def over_time(page: Page, day: HomeVisit) -> None:
    page.goto(f"/#/client/{day.client}/over-time")
    expect(page.get_by_role("heading", name="The feet over time")).to_be_visible()
    for words in ("2 mm deeper than on", "2 mm shorter than on", "Gone on"):
        expect(page.get_by_text(words)).to_be_visible()
    expect(page.get_by_role("table").get_by_role("row")).to_have_count(3)
    chart = page.get_by_role("img", name="Depth over 2 measures: from 1 mm to 3 mm")
    expect(chart).to_be_visible()
    expect(page.get_by_role("img", name=OF_CRACK)).to_be_visible()
    expect(page.get_by_text("Other photos of the feet")).to_have_count(0)
    picture(page, "feet-over-time")
