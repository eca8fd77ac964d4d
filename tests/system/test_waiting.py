"""A visit is cancelled with no signal, and its time goes to somebody on the waiting list; once to
nobody else, once to two at the same time. Check: our own rules."""

from datetime import timedelta
from typing import Any

from playwright.sync_api import expect

from heelwright.ids import new_id
from tests.system.device import of_kind
from tests.system.home_visit import noon_today
from tests.system.scene import Scene

SLOW = 30_000


def booked(scene: Scene, client: str) -> list[str]:
    rows: Any = of_kind(scene.other.pull(), "booking").values()
    return [row["state"] for row in rows if row["client"] == client]


def client_called(scene: Scene, name: str) -> str:
    rows: Any = of_kind(scene.other.pull(), "client").items()
    return str(next(id_ for id_, row in rows if row["name"] == name))


def frees_a_time(scene: Scene, waits: str, cancels: str, days: int) -> None:
    """One waits; with no signal the other's visit of a noon is cancelled."""
    hands, day = scene.hands, noon_today() + timedelta(days=days)
    scene.sign_in()
    scene.fill_in(waits)
    hands.type("Phone", "555 0142")
    hands.tap("Save")
    hands.sees_heading(waits)
    hands.tap("Put on the waiting list")
    hands.sees_heading("Waiting list")
    scene.page.get_by_role("textbox", name="Note").fill("Rings back after four.")
    hands.tap("Put on the waiting list")
    hands.sees_heading(waits)
    hands.sees("On the list since")
    scene.register(cancels)
    hands.tap("Book a visit")
    hands.sees("Proposed:")
    hands.type("Day", day.date().isoformat())
    hands.type("Time", "12:00")
    hands.tap("Book")
    hands.sees_heading(cancels)
    hands.waits_until_sent()
    scene.go_offline()
    scene.page.get_by_role("link", name=f"{day:%-d %b}").first.click()
    hands.unfold("Cancel this visit")
    hands.choose_in("Why?", "The client asked")
    hands.tap("Cancel the visit")
    hands.sees_heading("This time is free now")
    hands.sees("1 person waits for one.")
    expect(scene.page.get_by_role("link", name="Call 555 0142")).to_be_visible()


def sees_why_on_the_card(scene: Scene, cancels: str) -> None:
    scene.page.goto(f"/#/client/{client_called(scene, cancels)}")
    scene.hands.sees_heading("Called off, or not seen")
    scene.hands.sees("Cancelled: The client asked")


def gives_it_to(scene: Scene, waits: str) -> None:
    hands = scene.hands
    hands.tap("Book them")
    hands.sees_heading("Book a visit")
    hands.sees("A visit on one of these days takes them off the list.")
    expect(scene.page.get_by_label("Time", exact=True)).to_have_value("12:00")
    hands.tap("Book")
    hands.sees_heading(waits)
    scene.page.goto("/#/waiting")
    hands.sees("Nobody waits for a visit.")


def test_a_freed_time_goes_to_whoever_waits(scene: Scene) -> None:
    frees_a_time(scene, "Wanda Waits", "Carl Cancels", days=1)
    gives_it_to(scene, "Wanda Waits")
    scene.go_online()
    scene.hands.waits_until_sent()
    assert booked(scene, client_called(scene, "Wanda Waits")) == ["booked"]
    assert booked(scene, client_called(scene, "Carl Cancels")) == ["cancelled"]
    sees_why_on_the_card(scene, "Carl Cancels")


def test_who_loses_a_time_to_another_is_back_on_the_list(scene: Scene) -> None:
    """The office gave the time away as well, and its booking came first."""
    frees_a_time(scene, "Lena Loses", "Gus Gone", days=2)
    gives_it_to(scene, "Lena Loses")
    gone, office = client_called(scene, "Gus Gone"), scene.other
    rows: Any = of_kind(office.pull(), "booking").items()
    ((held, row),) = [(id_, row) for id_, row in rows if row["client"] == gone]
    office.must("cancel_booking", booking=held, seen=10**6, code="client_asked", reason="")
    again = {"booking": new_id(), "client": gone, "staff": row["staff"], "place": "home"}
    office.must("book_visit", **again, starts_at=row["starts_at"], minutes=30)
    scene.go_online()
    scene.page.goto("/#/attention")
    scene.hands.tap("Choose another time")
    expect(scene.page.get_by_label("Time", exact=True)).to_have_value("12:00", timeout=SLOW)
    scene.page.goto("/#/waiting")
    scene.hands.sees("1 waits")
    expect(scene.page.get_by_role("link", name="Lena Loses")).to_be_visible()
    assert booked(scene, client_called(scene, "Lena Loses")) == []
