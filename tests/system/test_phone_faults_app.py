"""What befalls the app itself: updated in mid-form, killed, clock set wrong, opened in two tabs.

The faults are listed in docs/decisions/0100-phone-faults.md; common practice, no published source.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Page, expect

from tests.services.proxy import Fault
from tests.system.scene import Scene, Tab

OFFER = "A newer version is ready."
DAY = 86_400_000


@contextmanager
def never_reloads(page: Page) -> Iterator[None]:
    page.evaluate("globalThis.still = true")
    yield
    assert page.evaluate("globalThis.still")


def ask_for_an_update(page: Page) -> None:
    page.evaluate("navigator.serviceWorker.ready.then((r) => r.update()).then(() => true)")


def covers_nothing(page: Page) -> None:
    """The offer lies above the screen's own heading, not on it."""
    offer = page.get_by_role("status").filter(has_text=OFFER).bounding_box()
    heading = page.get_by_role("heading", level=1).bounding_box()
    assert offer is not None and heading is not None
    assert offer["y"] + offer["height"] <= heading["y"]


def stands_clear_of_the_places(page: Page) -> None:
    """On a wide screen the places stand beside the page, over its whole height."""
    narrow = page.viewport_size
    assert narrow is not None
    page.set_viewport_size({"width": 1280, "height": 780})
    page.goto("/#/today")
    places = page.get_by_role("navigation").bounding_box()
    offer = page.get_by_role("status").filter(has_text=OFFER).bounding_box()
    assert offer is not None and places is not None
    assert offer["x"] >= places["x"] + places["width"]
    page.set_viewport_size(narrow)


def is_offered_in_peace(scene: Scene, tab: Tab) -> None:
    """In both tabs and beside the forms; put off, it comes back on the next day."""
    hands = scene.hands
    ask_for_an_update(hands.page)
    hands.sees(OFFER)
    tab.sees(OFFER)
    covers_nothing(hands.page)
    scene.picture("update")
    scene.holds("Freya Form")
    hands.tap("Later")
    expect(hands.page.get_by_text(OFFER)).to_have_count(0)
    hands.page.clock.fast_forward(DAY)
    hands.sees(OFFER)
    # A day passes for the lock as well.
    hands.unlock()
    tab.unlock()


def test_update_while_forms_are_open_in_two_tabs(scene: Scene) -> None:
    hands = scene.hands
    hands.phone.open()
    hands.page.clock.install()
    scene.sign_in_here()
    tab = Tab(hands)
    tab.open()
    scene.fill_in("Freya Form")
    tab.page.goto("/#/facilities/new")
    tab.type("Name", "Half-written House")
    scene.proxy.release_a_new_build("/sw.js", b"/* newer */")
    with never_reloads(tab.page):
        with never_reloads(hands.page):
            is_offered_in_peace(scene, tab)
        with hands.page.expect_navigation():
            hands.tap("Update now")
        expect(tab.page.get_by_label("Name", exact=True)).to_have_value("Half-written House")
        tab.sees(OFFER)
    hands.unlock()
    scene.holds("Freya Form")
    hands.tap("Save")
    hands.sees_heading("Freya Form")
    with tab.page.expect_navigation():
        tab.tap("Update now")
    tab.unlock()
    expect(tab.page.get_by_label("Name", exact=True)).to_have_value("Half-written House")
    hands.waits_until_sent()
    scene.arrived_once("Freya Form")


WAKE_THE_WORKER_AND_TAKE = """(button) => {
  for (let n = 0; n < 60; n += 1) void fetch("/api/").catch(() => undefined);
  button.click();
}"""


@pytest.mark.parametrize("attempt", range(3))
def test_update_while_the_old_worker_wakes(scene: Scene, attempt: int) -> None:
    """Chromium lets a worker that is being woken go on for minutes before it gives way. That takes
    an instant which not every attempt meets."""
    hands = scene.hands
    scene.sign_in()
    scene.proxy.release_a_new_build("/sw.js", b"/* newer */")
    ask_for_an_update(hands.page)
    hands.sees(OFFER)
    stands_clear_of_the_places(hands.page)
    browser = hands.phone.context.new_cdp_session(hands.page)
    browser.send("ServiceWorker.enable")
    browser.send("ServiceWorker.stopAllWorkers")
    hands.page.wait_for_timeout(500)
    with hands.page.expect_navigation():
        hands.page.get_by_role("button", name="Update now").evaluate(WAKE_THE_WORKER_AND_TAKE)
    hands.unlock()
    expect(hands.page.get_by_text(OFFER)).to_have_count(0)


def test_killed_right_after_saved(scene: Scene) -> None:
    """Fifty entries, and the browser's processes end with SIGKILL as the fiftieth is said to be
    saved."""
    hands = scene.hands
    scene.sign_in()
    scene.go_offline()
    names = [f"Kim Killed-{number}" for number in range(25)]
    for name in names:
        scene.register(name)
    hands.phone.kill()

    scene.proxy.go_offline()
    hands.phone.open()
    hands.page.goto("/")
    hands.unlock()
    hands.sees("50 entries kept here, not sent yet")
    hands.page.goto("/#/clients")
    there = hands.page.get_by_role("main").get_by_role("link").filter(has_text="Kim Killed-")
    expect(there).to_have_count(len(names))
    scene.picture("killed")
    scene.proxy.go_online()
    hands.page.goto("/#/sync")
    hands.tap("Sync now")
    hands.waits_until_sent()
    scene.arrived_once(*names)


def set_clock(scene: Scene, days: float) -> None:
    """The phone's clock jumps; the phone locks, since for all it knows it lay idle."""
    now = scene.page.evaluate("Date.now()")
    scene.page.clock.set_system_time((now + days * DAY) / 1000)
    scene.page.dispatch_event("body", "pointerdown")
    scene.hands.sees_heading("Unlock")
    scene.hands.unlock()


def test_clock_jumps_by_days(scene: Scene) -> None:
    hands = scene.hands
    hands.phone.open()
    hands.page.clock.install()
    scene.sign_in_here()
    scene.go_offline()
    scene.register("Clara Clock")
    set_clock(scene, days=2)
    scene.register("Cleo Clock")
    scene.go_online()
    hands.sees("Clock is 2 days ahead")
    hands.page.goto("/#/sync")
    hands.sees("clock is 2 days ahead. Set the date and time in the phone")
    scene.picture("clock")
    hands.waits_until_sent()
    scene.go_offline()
    set_clock(scene, days=-5)
    hands.sees_heading("Connect to open the records")
    hands.sees("If that is wrong, set the date right")
    scene.picture("clock-behind")
    scene.go_online()
    hands.sees("Clock is 3 days behind")
    scene.register("Cora Clock")
    hands.waits_until_sent()
    set_clock(scene, days=3)
    hands.waits_until_sent()
    expect(hands.page.get_by_text(re.compile("^Clock is"))).to_have_count(0)
    scene.arrived_once("Clara Clock", "Cleo Clock", "Cora Clock")


def test_two_tabs_issue_and_one_is_closed_while_it_sends(scene: Scene) -> None:
    hands = scene.hands
    scene.sign_in()
    tab = Tab(hands)
    tab.open()
    scene.fill_in("Tamar Tab")
    scene.fill_in("Tilda Tab", tab)
    hands.tap("Save")
    tab.tap("Save")
    for one, name in ((hands, "Tamar Tab"), (tab, "Tilda Tab")):
        one.sees_heading(name)
        one.waits_until_sent()
        one.page.goto("/#/clients")
        one.sees("Tamar Tab")
        one.sees("Tilda Tab")

    scene.proxy.break_next("/api/push", Fault.HANG)
    scene.register("Thea Tab", tab)
    scene.proxy.wait_for("/api/push", Fault.HANG)
    hands.page.goto("/#/sync")
    hands.tap("Sync now")
    hands.sees("Another tab of this app is sending. This one takes over if you close it.")
    scene.picture("two-tabs")
    tab.page.close()
    # A silent server would be waited for a minute.
    expect(hands.page.get_by_text("All sent").first).to_be_visible(timeout=20_000)
    log = scene.logged()
    assert [entry.seq for entry in log] == list(range(1, 7))
    assert {entry.status for entry in log} == {"applied"}
