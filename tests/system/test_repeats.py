"""A visit that repeats, booked on a real phone with no signal, one day left out, and called off
from its second visit on. Check: our own rules; 2027-06-01 is a Tuesday (Gregorian calendar), and
six weeks from one to the next come to 2027-07-13 and 2027-08-24."""

from typing import Any

from playwright.sync_api import expect

from tests.system.device import of_kind
from tests.system.scene import Scene


def booked(scene: Scene) -> list[Any]:
    rows = of_kind(scene.other.pull(), "booking").values()
    return sorted((row["starts_at"][:16], row["state"]) for row in rows if row["series"])


def test_a_repeat_is_booked_with_no_signal_and_its_rest_called_off(scene: Scene) -> None:
    hands = scene.hands
    scene.sign_in()
    page = scene.page
    scene.register("Rita Repeats")
    scene.go_offline()
    hands.tap("Book a visit")
    hands.sees_heading("Book a visit")
    hands.type("Day", "2027-06-01")
    hands.type("Time", "10:00")
    hands.unfold("Repeats: No, once")
    hands.choose_in("Does it repeat?", "Yes, every so many weeks")
    page.get_by_label("How many times", exact=True).fill("4")
    hands.sees("Every 6 weeks on Tuesday at 10:00, 4 times")
    days = page.get_by_role("group", name="The days").get_by_role("checkbox")
    expect(days).to_have_count(4)
    days.nth(2).uncheck(force=True)
    hands.tap("Book")
    hands.sees_heading("Rita Repeats")
    scene.go_online()
    hands.waits_until_sent()
    assert [day for day, _ in booked(scene)] == [
        "2027-06-01T09:00",
        "2027-07-13T09:00",
        "2027-10-05T09:00",
    ]

    hands.tap("Book a visit")
    hands.sees("3 visits are booked already")
    expect(page.get_by_role("link", name="13 Jul 2027")).to_contain_text("Olive Owner")
    page.go_back()
    page.get_by_role("link", name="13 Jul").first.click()
    hands.choose_in("Which visits?", "This one and the 1 after it")
    hands.unfold("Cancel this visit")
    hands.choose_in("Why?", "Moved away")
    hands.tap("Cancel 2 visits")
    hands.sees_heading("Rita Repeats")
    hands.waits_until_sent()
    assert [state for _, state in booked(scene)] == ["booked", "cancelled", "cancelled"]
