"""A link for one's own calendar, made on the phone, asked by what is no browser, and ended.

Check: our own rule (decision 0191); the calendar by ical.js, an independent reader.
"""

from pathlib import Path
from urllib.error import HTTPError
from urllib.request import Request, urlopen

from tests.schedule.calendars import read_by_another
from tests.system.furnished import furnish
from tests.system.scene import Scene


def asked(address: str, method: str = "GET") -> tuple[int, bytes]:
    request = Request(address, method=method)
    try:
        with urlopen(request, timeout=30) as answer:
            return answer.status, answer.read()
    except HTTPError as no:
        return no.code, no.read()


def link_on(scene: Scene) -> str:
    letters = scene.page.locator("details p")
    return (letters.text_content() or "").strip()


def test_a_calendar_gets_the_times_until_the_link_is_ended(scene: Scene, tmp_path: Path) -> None:
    practice = furnish(scene.app)
    scene.sign_in()
    scene.page.goto("/#/settings")
    scene.page.get_by_role("link", name="Calendar link").click()
    scene.hands.sees_heading("Your own calendar")
    scene.hands.tap("Make a new link")
    scene.hands.sees("It is shown here until")
    scene.hands.sees("No calendar has used it yet")
    address = link_on(scene)
    status, body = asked(address)
    assert status == 200
    (calendar,) = read_by_another([body], tmp_path)
    found = {entry["uid"]: entry for entry in calendar["entries"]}
    visit = practice.ready.starts_at
    assert found[str(practice.ready.booking)]["start"] == [f"{visit:%Y-%m-%dT%H:%M:%S.000Z}"]
    assert sorted(entry["summary"] for entry in calendar["entries"]) == [
        "Round (1 stop)",
        *["Visit"] * 3,
    ]
    assert not any(word in body.decode() for word in ("Invented", "Otherwise", "Untrue", "Long"))
    assert asked(address, "HEAD") == (200, b"")
    assert asked(address, "POST")[0] == 405
    is_told_and_stays_until_it_is_put_away(scene, address)
    scene.hands.tap("End the link")
    scene.page.get_by_role("button", name="Make a link").wait_for()
    scene.hands.waits_until_sent()
    assert asked(address)[0] == 404
    secret = address.rpartition("/")[2].removesuffix(".ics")
    assert len(secret) == 43
    assert secret not in scene.app.log


def is_told_and_stays_until_it_is_put_away(scene: Scene, address: str) -> None:
    scene.hands.fetch()
    scene.page.reload()
    scene.hands.unlock()
    scene.page.goto("/#/calendar")
    scene.hands.sees("A calendar used it today")
    assert link_on(scene) == address
    scene.hands.tap("I have added it")
    scene.hands.sees("shown again")
    assert address not in scene.page.content()


def test_one_that_is_made_without_signal_works_once_it_is_sent(scene: Scene) -> None:
    scene.sign_in()
    scene.page.goto("/#/calendar")
    scene.hands.sees_heading("Your own calendar")
    scene.go_offline()
    scene.hands.tap("Make a link")
    scene.hands.sees("Not sent yet")
    address = link_on(scene)
    assert asked(address)[0] == 404
    scene.go_online()
    scene.hands.sees("No calendar has used it yet")
    assert asked(address)[0] == 200
