"""A photo through the real screens: taken without signal, kept sealed, sent over a line that is
cut, and shown. Check: our own rules (docs/sync.md, "Photos"; decisions 0158 to 0162)."""

import hashlib
import os
import time
from pathlib import Path

import pytest
from playwright.sync_api import Locator, expect

from tests.factories import decision, sheet_args
from tests.services.proxy import Fault
from tests.system.camera import PLACE, take_photo
from tests.system.device import Json, of_kind
from tests.system.home_visit import HomeVisit
from tests.system.scene import Scene
from tests.system.test_axe import Looker

PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
TAKE = "Take a photo before the work"
ASK = "Ask for the consent"


@pytest.fixture
def day(scene: Scene) -> HomeVisit:
    """A client whose visit can begin."""
    other = scene.other
    day = HomeVisit(other.staff)
    other.must("register_client", **day.card())
    other.must("book_visit", **day.booked())
    other.must("record_screen", **day.screened())
    other.must("record_foot_check", **day.checked())
    other.must("sign_consent", **day.signed())
    return day


def agree(scene: Scene, day: HomeVisit) -> str:
    photos = decision("photos")
    args = sheet_args(
        client=str(day.client),
        decided_at=day.after(9).isoformat(),
        decisions=[decision("foot_care"), photos],
    )
    scene.other.must("record_consent_sheet", **args)
    return str(photos["consent"])


def begin(scene: Scene, day: HomeVisit) -> None:
    scene.page.goto(f"/#/booking/{day.booking}/visit")
    scene.hands.tap("Start the visit")
    scene.hands.sees_heading("Photos")


def take(scene: Scene, label: str = TAKE) -> None:
    take_photo(scene.hands, label)


def pictures(scene: Scene) -> Locator:
    return scene.page.get_by_role("img", name="Before")


def shown(scene: Scene) -> None:
    """Upright, as the camera was held."""
    picture = pictures(scene).first
    expect(picture).to_be_visible()
    width, height = picture.evaluate(
        "it => it.decode().then(() => [it.naturalWidth, it.naturalHeight])"
    )
    assert (width, height) == (360, 480)


def of_client(scene: Scene, day: HomeVisit, kind: str) -> Json:
    rows = of_kind(scene.other.pull(), kind)
    return {row_id: row for row_id, row in rows.items() if row["client"] == str(day.client)}


def arrived(scene: Scene, day: HomeVisit) -> Json:
    deadline = time.monotonic() + 60
    while True:
        photos = of_client(scene, day, "photo")
        assert len(photos) <= 1
        for photo, row in photos.items():
            if row["arrived"]:
                return {"id": photo, **row}
        assert time.monotonic() < deadline, photos
        time.sleep(0.5)


def test_a_photo_taken_without_signal_arrives_once(scene: Scene, day: HomeVisit) -> None:
    agree(scene, day)
    scene.sign_in()
    begin(scene, day)
    scene.hands.waits_until_sent()
    scene.go_offline()
    take(scene)
    shown(scene)
    scene.hands.tap("Lock")
    scene.hands.unlock()
    scene.page.goto(f"/#/booking/{day.booking}/visit")
    shown(scene)
    scene.hands.phone.open_again()
    scene.hands.phone.context.set_offline(True)
    scene.page.goto("/")
    scene.hands.unlock()
    scene.page.goto("/#/sync")
    scene.hands.sees("1 photo still to be sent")
    scene.proxy.break_next("/api/photos/", Fault.CUT_REQUEST, times=2)
    scene.go_online()
    scene.hands.fetch()
    scene.hands.waits_until_sent()
    row = arrived(scene, day)
    assert (row["width"], row["height"]) == (1200, 1600)
    given = scene.other.ask("GET", f"/api/photos/{row['id']}")
    assert given.status == 200 and given.raw[:3] == b"\xff\xd8\xff"
    assert len(given.raw) == row["bytes"] > 256 * 1024
    assert hashlib.sha256(given.raw).hexdigest() == row["sha256"]
    assert PLACE not in given.raw and b"Exif" not in given.raw
    assert [entry.name for entry in scene.logged()].count("record_photo") == 1
    nothing_in_the_open(scene)


def nothing_in_the_open(scene: Scene) -> None:
    """On the server's disk no picture starts anywhere, sealed or in a temporary file."""
    folder = scene.app.folder / "photos"
    stored = [path for path in folder.rglob("*") if path.is_file()]
    assert stored
    for path in stored:
        content = path.read_bytes()
        assert content[:1] == b"\x01" and b"\xff\xd8\xff" not in content[:64]
        assert b"JFIF" not in content


def test_no_camera_without_consent(scene: Scene, day: HomeVisit) -> None:
    scene.sign_in()
    begin(scene, day)
    scene.hands.sees("first ask the client for a consent to photos")
    expect(scene.page.get_by_role("button", name=TAKE)).to_have_count(0)
    expect(scene.page.get_by_role("link", name=ASK)).to_be_visible()
    consent = agree(scene, day)
    scene.hands.fetch()
    scene.page.goto(f"/#/booking/{day.booking}/visit")
    expect(scene.page.get_by_role("button", name=TAKE)).to_be_visible()
    taken_back = {"consent": consent, "reason": "", "withdrawn_at": day.after(12)}
    scene.other.must("withdraw_consent", **taken_back)
    scene.hands.fetch()
    scene.page.goto(f"/#/booking/{day.booking}/visit")
    scene.hands.sees("The consent to photos was taken back")
    expect(scene.page.get_by_role("button", name=TAKE)).to_have_count(0)


def test_a_file_that_is_no_picture_is_said(scene: Scene, day: HomeVisit) -> None:
    agree(scene, day)
    scene.sign_in()
    begin(scene, day)
    with scene.page.expect_file_chooser() as chosen:
        scene.hands.tap(TAKE)
    chosen.value.set_files({"name": "p.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"})
    scene.hands.sees("be read as a picture")
    expect(scene.page.get_by_role("button", name=TAKE)).to_be_enabled()


def test_before_and_after_side_by_side(scene: Scene, day: HomeVisit) -> None:
    agree(scene, day)
    scene.sign_in()
    begin(scene, day)
    take(scene)
    shown(scene)
    looker = Looker(scene.hands)
    looker.look("visit-photo")
    scene.hands.tap("Go to sign-off")
    scene.hands.sees_heading("Sign-off")
    take(scene, "Take a photo after the work")
    expect(scene.page.get_by_role("img", name="After")).to_be_visible()
    looker.look("sign-off-photos")
    scene.hands.waits_until_sent()
    scene.page.goto(f"/#/client/{day.client}")
    shown(scene)
    looker.look("client-photos")
    at_other_widths(scene)
    scene.page.get_by_role("button", name="Show larger: Before").click()
    scene.hands.sees("Larger")
    looker.look("photo-zoomed")
    owner_removes(scene, day, looker)
    assert not looker.found, "\n\n".join(looker.found)


def at_other_widths(scene: Scene) -> None:
    for name, width, height in (("narrow", 320, 640), ("desktop", 1280, 800)):
        scene.page.set_viewport_size({"width": width, "height": height})
        over = scene.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert over <= 0, name
        pictures(scene).first.scroll_into_view_if_needed()
        if PICTURES:
            scene.page.screenshot(path=Path(PICTURES) / f"photos-{name}.png")
    scene.page.set_viewport_size({"width": 360, "height": 780})


def owner_removes(scene: Scene, day: HomeVisit, looker: Looker) -> None:
    scene.page.get_by_text("Remove this photo").click()
    scene.hands.type("Why", "Of another person")
    looker.look("photo-removal")
    scene.hands.tap("Remove it for good")
    scene.hands.sees("This photo was removed.")
    scene.hands.waits_until_sent()
    removed = [row for row in of_client(scene, day, "photo").values() if row["removed_at"]]
    assert [row["removed_reason"] for row in removed] == ["Of another person"]


def test_an_owner_sees_and_removes_what_had_no_consent(scene: Scene, day: HomeVisit) -> None:
    """The withdrawal came late: the photo is seen and removed where the owner is told of it."""
    consent = agree(scene, day)
    scene.sign_in()
    begin(scene, day)
    take(scene)
    shown(scene)
    scene.hands.waits_until_sent()
    arrived(scene, day)
    taken_back = {"consent": consent, "reason": "", "withdrawn_at": day.after(12)}
    scene.other.must("withdraw_consent", **taken_back)
    scene.hands.fetch()
    scene.page.goto("/#/attention")
    scene.hands.sees("A photo was taken without a consent to photos.")
    expect(scene.page.get_by_role("img", name="A photo before the work")).to_be_visible()
    looker = Looker(scene.hands)
    looker.look("photo-flagged")
    owner_removes(scene, day, looker)
    assert not looker.found, "\n\n".join(looker.found)


def test_a_visit_that_is_done_shows_its_photos(scene: Scene, day: HomeVisit) -> None:
    """Of two phones of one person, the other one finished the visit."""
    agree(scene, day)
    scene.sign_in()
    begin(scene, day)
    take(scene)
    shown(scene)
    scene.hands.waits_until_sent()
    [visit] = of_client(scene, day, "visit")
    scene.other.must("complete_visit", **day.completed(visit=visit))
    scene.hands.fetch()
    scene.page.goto(f"/#/booking/{day.booking}/visit")
    expect(scene.page.get_by_role("link", name="Aftercare")).to_be_visible()
    shown(scene)
    expect(scene.page.get_by_role("button", name=TAKE)).to_have_count(0)
