"""A day put in its best order on a real phone, with no signal.

Check: our own rules; what is saved is counted by the shipped book's guess (common practice)."""

from datetime import timedelta
from typing import Any

from playwright.sync_api import expect

from tests.system.device import of_kind
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.scene import Scene
from tests.system.test_takings import pictured

# North of each other: near, far, and in the middle; 3.3 km from one to the next as the crow flies.
DOORS = {"Nia Near": 54.0, "Finn Far": 54.06, "Mia Middle": 54.03}
OUTSIDE = "It is outside of the technician\u2019s hours."


def booked(scene: Scene, days: int) -> dict[str, HomeVisit]:
    visits = {}
    for place, (name, lat) in enumerate(DOORS.items()):
        starts_at = noon_today() + timedelta(days=days, hours=place)
        visit = visits[name] = HomeVisit(scene.other.staff, starts_at=starts_at)
        door = {"lat": lat, "lon": 2.5, "source": "device", "accuracy_m": 8}
        scene.other.must("register_client", **visit.card(name=name, position=door))
        scene.other.must("book_visit", **visit.booked())
    return visits


def starts(scene: Scene, visit: HomeVisit) -> Any:
    return of_kind(scene.other.pull(), "booking")[str(visit.booking)]["starts_at"]


def works_tomorrow_alone(scene: Scene) -> None:
    weekday = (noon_today() + timedelta(days=1)).weekday()
    days = [{"weekday": weekday, "starts": "09:00", "ends": "17:00"}]
    scene.other.must("set_working_week", staff=str(scene.other.staff), seen=0, days=days)


def test_a_day_is_put_in_its_best_order_with_no_signal(scene: Scene) -> None:
    visits = booked(scene, days=1)
    before = {name: starts(scene, visit) for name, visit in visits.items()}
    scene.sign_in()
    scene.go_offline()
    scene.hands.tap("Later")
    scene.hands.tap("Best order")
    scene.hands.sees_heading("Best order")
    names = scene.page.locator("main li p")
    expect(names).to_contain_text(["Nia Near", "Mia Middle", "Finn Far"])

    # Whose time is kept stays where it is, and the others go round it.
    keeps = scene.page.locator("main li", has_text="Finn Far").get_by_role("checkbox")
    keeps.check(force=True)
    expect(names).to_contain_text(["13:00 Finn Far", "Mia Middle", "Nia Near"])
    keeps.uncheck(force=True)
    scene.hands.sees("2 visits get another time. Tell the clients before you set it.")
    pictured(scene, "best-order")
    scene.hands.tap("Set these times")
    scene.hands.sees_heading("Today")
    assert {name: starts(scene, visit) for name, visit in visits.items()} == before

    scene.go_online()
    scene.hands.waits_until_sent()
    after = {name: starts(scene, visit) for name, visit in visits.items()}
    assert after["Nia Near"] == before["Nia Near"]
    assert sorted(after, key=lambda name: str(after[name])) == [
        "Nia Near",
        "Mia Middle",
        "Finn Far",
    ]


def test_a_day_without_working_hours_is_said_to_be_one_and_gets_its_times(scene: Scene) -> None:
    visits = booked(scene, days=2)
    works_tomorrow_alone(scene)
    screen = f"/#/day/{(noon_today() + timedelta(days=2)).date()}/order"
    before = {name: starts(scene, visit) for name, visit in visits.items()}
    scene.sign_in()
    scene.go_offline()
    scene.page.goto(screen)
    scene.hands.sees("Something speaks against this time")
    scene.hands.sees(OUTSIDE)
    # It ends 40 minutes after the last one begins: the visit is over, with no way home in it.
    expect(scene.page.locator("main")).to_contain_text("The last visit is over at 14:")
    scene.hands.tap("Set these times")
    scene.hands.sees_heading("Today")
    scene.go_online()
    scene.hands.waits_until_sent()
    after = {name: starts(scene, visit) for name, visit in visits.items()}
    assert after["Mia Middle"] < before["Mia Middle"]
    assert after["Finn Far"] > before["Finn Far"]

    # By now it is in its best order.
    scene.page.goto(screen)
    scene.hands.sees("Already a good order")
    expect(scene.page.locator("main dt")).to_have_text(["As booked"])
    expect(scene.page.locator(".actions")).to_have_count(0)


def test_a_refused_order_leads_back_to_the_day(scene: Scene) -> None:
    """The office called one of the visits off in between."""
    visits = booked(scene, days=8)
    scene.sign_in()
    scene.go_offline()
    scene.page.goto(f"/#/day/{(noon_today() + timedelta(days=8)).date()}/order")
    scene.hands.tap("Set these times")
    scene.hands.sees_heading("Today")
    gone = str(visits["Mia Middle"].booking)
    scene.other.must("cancel_booking", booking=gone, seen=10**6, code="client_asked", reason="")
    scene.go_online()
    scene.hands.waits_until_sent()
    scene.page.goto("/#/attention")
    scene.hands.sees("1 entry was refused")
    scene.page.get_by_text("What was typed").click()
    assert gone not in scene.page.get_by_role("main").inner_text()
    scene.hands.tap("Put the day in order again")
    scene.hands.sees_heading("Best order")
    expect(scene.page.locator("main li p")).to_contain_text(["Nia Near", "Finn Far"])
