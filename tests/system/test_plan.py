"""A fortnight planned on a real phone by a real worker: asked for, stopped, asked for again,
changed and booked; and a worker that dies in the middle. Check: our own rules.
"""

import os
import signal
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from playwright.sync_api import Locator, Page, expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.standards.clients import WELL
from tests.system.device import Device, of_kind
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.practice import owner_of
from tests.system.test_work import NEWEST
from tests.system.unsent import signed_in

KEPT = os.environ.get("HEELWRIGHT_PICTURES")
PLACED = ("Ina Invented", "Jon Invented", "Kit Invented")
NO_DOOR = "Lea Invented"
# As a run of the planner is given up, and a little more.
LOST_MS = 50_000


def going(owner: Device) -> None:
    days = [{"weekday": day, "starts": "09:00", "ends": "17:00", "breaks": []} for day in range(7)]
    owner.must("set_working_week", staff=str(owner.staff), seen=0, days=days)
    owner.must("set_base", staff=str(owner.staff), seen=0, position=door(0))


def door(north: int) -> dict[str, Any]:
    return {"lat": 51.5 + north * 0.01, "lon": -0.1, "source": "typed", "accuracy_m": None}


def due_in_a_week(owner: Device, name: str, position: Any) -> UUID:
    """Their visit of today is signed off, with a week until the next."""
    one = HomeVisit(owner.staff)
    owner.must("register_client", **one.card(name=name, position=position))
    for said, args in (
        ("record_screen", one.screened()),
        ("record_foot_check", one.checked()),
        ("sign_consent", one.signed(signer_name=name)),
        ("book_visit", one.booked(starts_at=one.after(9), meant=["outside_hours", "short_travel"])),
        ("start_visit", one.started()),
        ("complete_visit", one.completed(work_done=["nails_cut"], weeks_until_next=1)),
    ):
        owner.must(said, **args)
    return one.client


def referred(owner: Device, client: UUID) -> None:
    """What was asked once more, after the visit."""
    again = HomeVisit(owner.staff, WELL | {"gout_now": True}, client=client)
    owner.must("record_screen", **again.screened(screened_at=again.after(45)))


def pictured(page: Page, name: str) -> None:
    if not KEPT:
        return
    before = page.viewport_size
    for width, height in ((360, 780), (1280, 900)):
        page.set_viewport_size({"width": width, "height": height})
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            path = Path(KEPT) / f"planner-{name}-{width}-{scheme}.png"
            page.screenshot(path=path, full_page=True)
    assert before
    page.set_viewport_size(before)


def focused(page: Page) -> None:
    page.wait_for_function("() => document.activeElement !== document.body")


def stop_of(page: Page, name: str) -> Locator:
    return page.get_by_role("listitem").filter(has=page.get_by_role("link", name=name))


def test_a_fortnight_is_planned_changed_and_booked(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    going(owner)
    due = [due_in_a_week(owner, name, door(north)) for north, name in enumerate(PLACED, 1)]
    referred(owner, due[2])
    due_in_a_week(owner, NO_DOOR, None)
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.set_default_timeout(60_000)
    page.goto("/#/plan")
    pictured(page, "form")
    stopped_before_it_begins(hands)
    with live_server_process.worker():
        hands.tap("Make a plan")
        expect(page.get_by_text("1 visit has no place")).to_be_visible(timeout=60_000)
        focused(page)
        hands.sees("Nobody knows where the door is. Say it on the card.")
        expect(stop_of(page, PLACED[2])).to_contain_text("Waits for an answer")
        expect(page.get_by_text("A visit can be booked for when this is lifted.")).to_have_count(1)
        hands.sees("1 of these clients is on hold")
        pictured(page, "proposal")
        folded_and_opened(hands)
        moved_and_kept(hands)
        # What was moved is kept by the new plan.
        expect(stop_of(page, PLACED[0])).to_contain_text("Stays at this time", timeout=60_000)
        expect(stop_of(page, PLACED[0])).to_contain_text("14:00")
        expect(stop_of(page, PLACED[1])).to_contain_text("Stays at this time")
        pictured(page, "again")
        books_all(hands, owner)


def stopped_before_it_begins(hands: Hands) -> None:
    """No worker is there yet."""
    hands.tap("Make a plan")
    hands.sees("Waiting for the server to begin.")
    hands.sees("0 % done")
    focused(hands.page)
    pictured(hands.page, "waiting")
    hands.tap("Stop planning")
    hands.sees("The plan was stopped.")
    focused(hands.page)


def folded_and_opened(hands: Hands) -> None:
    """The first day is open."""
    change = hands.page.get_by_role("button", name=f"Change {PLACED[0]}")
    expect(change).to_be_visible()
    hands.unfold("Olive Owner 3 visits")
    expect(change).to_be_hidden()
    hands.unfold("Olive Owner 3 visits")


def moved_and_kept(hands: Hands) -> None:
    page = hands.page
    hands.tap(f"Change {PLACED[0]}")
    stop = stop_of(page, PLACED[0])
    stop.get_by_label("Time", exact=True).fill("14:00")
    pictured(page, "changing")
    stop.get_by_role("button", name="Move here").click()
    expect(stop).to_contain_text("Moved by you")
    focused(page)
    hands.tap(f"Change {PLACED[1]}")
    stop_of(page, PLACED[1]).get_by_label("Keep this time when planning again").check()
    hands.tap("Plan again with these changes")


def books_all(hands: Hands, owner: Device) -> None:
    page = hands.page
    page.get_by_role("button", name="Book all 3 visits").click()
    expect(page.get_by_text("Booked", exact=True)).to_have_count(3)
    focused(page)
    hands.waits_until_sent()
    booked = [row for row in of_kind(owner.pull(), "booking").values() if row["state"] == "booked"]
    day = (noon_today() + timedelta(days=7)).date().isoformat()
    assert [row["starts_at"][:10] for row in booked] == [day] * 3
    page.goto(f"/#/day/{day}/order")
    for name in PLACED:
        hands.sees(name)


def until_begun(owner: Device) -> None:
    """A worker has taken it, and is not through with it."""
    deadline = time.monotonic() + 60
    while True:
        run = owner.ask("GET", NEWEST).body["run"]
        if run and run["state"] == "running":
            return
        assert run is None or run["state"] == "waiting", run["state"]
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_a_worker_that_is_killed_leaves_no_plan_hanging(
    live_server_process: ServedApp, new_phone: Callable[[str], Phone]
) -> None:
    owner = owner_of(live_server_process)
    going(owner)
    for number in range(24):
        due_in_a_week(owner, f"Invented Number {number}", door(number % 6 + 1))
    hands = signed_in(new_phone("owner"))
    page = hands.page
    page.goto("/#/plan")
    with live_server_process.worker() as worker:
        hands.tap("Make a plan")
        until_begun(owner)
        os.killpg(worker.pid, signal.SIGKILL)
        worker.wait()
    hands.sees("The server is planning.")
    pictured(page, "running")
    with live_server_process.worker():
        expect(page.get_by_text("No plan was made")).to_be_visible(timeout=LOST_MS)
        hands.sees("The server stopped in the middle. Make the plan again.")
        pictured(page, "failed")
        hands.tap("Make a plan")
        expect(page.get_by_text("As planned", exact=True)).to_be_visible(timeout=120_000)
