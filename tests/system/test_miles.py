"""A day of travel on the phone: a vehicle, the ways of the day's visits, the odometer shared out,
saved without a signal and corrected afterwards.

The sums are by hand: 12.5 miles over two ways that were thought to be equal are 6.3 and 6.2. The
rest is our own rule.
"""

from datetime import UTC, datetime
from typing import Any

from playwright.sync_api import expect

from tests.factories import client_args, ident
from tests.system.device import of_kind
from tests.system.home_visit import noon_today
from tests.system.scene import Scene


def a_visit_today(scene: Scene) -> None:
    client = client_args(name="Ida Invented", address="2 Made-up Row")
    scene.other.must("register_client", **client)
    booked = {"booking": ident(), "client": client["client"], "staff": str(scene.other.staff)}
    at = {"starts_at": noon_today().isoformat(), "minutes": 45, "place": "home"}
    scene.other.must("book_visit", **booked, **at)


def add_a_vehicle(scene: Scene) -> None:
    scene.page.goto("/#/settings")
    scene.hands.tap("Open travel")
    scene.hands.tap("Add a vehicle")
    scene.hands.type("Name", "Blue estate")
    scene.hands.choose("Car")
    scene.hands.choose("Miles")
    scene.hands.tap("Save")
    scene.hands.sees("Not entered yet: 1 stop")


def saved(scene: Scene, reading: str, by: str) -> dict[str, Any]:
    scene.hands.type("At the end (miles)", reading)
    scene.hands.tap(by)
    scene.hands.tap("Save the day")
    scene.hands.sees("12.5 miles for work")
    scene.go_online()
    scene.hands.waits_until_sent()
    return of_kind(scene.other.pull(), "travel_day")


def test_a_day_is_told_by_its_visits_and_the_odometer_and_corrected(scene: Scene) -> None:
    a_visit_today(scene)
    scene.sign_in()
    hands, page = scene.hands, scene.page
    scene.go_offline()
    add_a_vehicle(scene)
    day = datetime.now(UTC).date().isoformat()
    page.goto(f"/#/miles/day/{day}")
    hands.sees("Home to 2 Made-up Row")
    hands.sees("2 Made-up Row to Home")
    assert "Ida" not in page.get_by_role("main").inner_text()
    hands.type("At the start (miles)", "41230")
    hands.type("At the end (miles)", "41229")
    expect(page.get_by_role("button", name="Save the day")).to_be_disabled()
    [(first, told)] = saved(scene, "41242.5", "Share it out over the ways").items()
    assert [leg["tenths"] for leg in told["legs"]] == [63, 62]
    assert told["legs"][0]["end"] == "2 Made-up Row"
    page.goto(f"/#/miles/day/{day}")
    hands.sees("This day was entered before.")
    days = saved(scene, "41250", "The rest was private")
    [second] = days.keys() - {first}
    assert days[second]["replaces"] == [first]
    assert [leg["purpose"] for leg in days[second]["legs"]] == ["client", "client", "private"]
    assert days[second]["legs"][2]["tenths"] == 75
