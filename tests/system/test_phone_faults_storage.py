"""What befalls a phone's storage: evicted, full, cut off, private. What the person reads, and what
is left.

The faults are listed in docs/decisions/0100-phone-faults.md; common practice, no published source.
"""

import re
from pathlib import Path

from playwright.sync_api import expect

from tests.system.hands import PASSPHRASE, Hands
from tests.system.scene import OWNER, Scene

NUMBER = re.compile("^Number ")
# Chromium says 10 GB more than is used, whatever its real quota; other browsers tell.
NEARLY_FULL = """
  StorageManager.prototype.estimate = () => Promise.resolve({ quota: 90e6, usage: 71e6 });
"""
# Every handle of the database that was opened before `cut` says InvalidStateError ever after.
CUT_OFF = """
  const { transaction } = IDBDatabase.prototype;
  const handles = new Set();
  globalThis.cut = { off: new Set(), for_good: false, now: () => (cut.off = new Set(handles)) };
  IDBDatabase.prototype.transaction = function (...rest) {
    handles.add(this);
    if (cut.for_good || cut.off.has(this)) throw new DOMException("gone", "InvalidStateError");
    return transaction.apply(this, rest);
  };
"""


def number_of(hands: Hands) -> str:
    hands.page.goto("/#/settings")
    return hands.page.get_by_text(NUMBER).inner_text()


def test_storage_evicted(scene: Scene) -> None:
    hands = scene.hands
    scene.sign_in()
    scene.register("Edda Earlier")
    hands.waits_until_sent()
    number = number_of(hands)
    scene.go_offline()
    scene.register("Una Unsent")
    hands.sees("Only on this phone since")

    scene.browser("Storage.clearDataForOrigin", storageTypes="all")
    hands.sees("The browser has cleared what this app kept here. What was sent is safe")
    hands.sees_heading("Sign in")
    scene.picture("evicted")
    scene.go_online()
    hands.phone.open_again()
    hands.page.goto("/")
    hands.sees("This phone holds no records yet.")
    hands.sees("Enter again what was not sent")
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    assert number_of(hands) != number
    hands.page.goto("/#/clients")
    hands.sees("Edda Earlier")
    scene.arrived_once("Edda Earlier")


def test_phone_full(scene: Scene) -> None:
    hands = scene.hands
    scene.sign_in()
    # Chromium looks at the quota afresh only for a database that it has just opened.
    hands.phone.open_again()
    scene.browser("Storage.overrideQuotaForOrigin", quotaSize=1)
    hands.page.goto("/")
    hands.unlock()
    scene.fill_in("Fay Full")
    hands.tap("Save")
    hands.sees("The phone is full. What you typed is still on screen.")
    scene.holds("Fay Full")
    hands.sees("The top of this screen says why")
    expect(hands.page.get_by_text("The phone is full")).to_have_count(1)
    scene.picture("full")
    assert scene.logged() == []

    scene.browser("Storage.overrideQuotaForOrigin")
    hands.tap("Save")
    hands.sees_heading("Fay Full")
    hands.waits_until_sent()
    expect(hands.page.get_by_text("The phone is full")).to_have_count(0)
    scene.arrived_once("Fay Full")


def test_phone_nearly_full(scene: Scene) -> None:
    hands = scene.hands
    hands.phone.open()
    hands.page.add_init_script(NEARLY_FULL)
    hands.sign_in(OWNER)
    hands.waits_until_sent()
    hands.sees("Phone nearly full")
    hands.page.goto("/#/sync")
    hands.sees("This phone is nearly full. Delete some photos or apps")
    scene.picture("nearly-full")
    scene.register("Nell Nearly")
    hands.waits_until_sent()
    scene.arrived_once("Nell Nearly")


def test_database_connection_lost(scene: Scene) -> None:
    hands = scene.hands
    hands.phone.open()
    hands.page.add_init_script(CUT_OFF)
    hands.sign_in(OWNER)
    scene.fill_in("Dora Dropped")
    hands.page.evaluate("cut.now()")
    hands.tap("Save")
    hands.sees_heading("Dora Dropped")
    hands.waits_until_sent()

    scene.fill_in("Lia Lost")
    hands.page.evaluate("cut.for_good = true")
    hands.tap("Save")
    hands.sees("The phone could not save. Do not close this screen; try again.")
    scene.holds("Lia Lost")
    scene.picture("connection-lost")
    hands.page.evaluate("cut.for_good = false")
    hands.tap("Save")
    hands.sees_heading("Lia Lost")
    hands.waits_until_sent()
    scene.arrived_once("Dora Dropped", "Lia Lost")


def test_private_window(scene: Scene, tmp_path: Path) -> None:
    hands = scene.hands
    hands.phone.open_private()
    scene.sign_in_here()
    scene.go_offline()
    scene.register("Priya Private")
    hands.sees("Only on this phone since")
    hands.page.goto("/#/sync")
    hands.sees("2 entries are only on this phone, the oldest since")
    hands.sees("The browser may clear it when space is short, and does so when a private window")
    scene.picture("private")
    with hands.page.expect_download() as download:
        hands.tap("Save unsent work to a file")
    saved = tmp_path / download.value.suggested_filename
    download.value.save_as(saved)
    hands.sees(f"Saved as {saved.name}.")
    assert "Priya" not in saved.read_text()

    hands.phone.close()
    hands.phone.open_private()
    hands.page.goto("/")
    hands.sees("This phone holds no records yet.")
    scene.sign_in_here()
    assert scene.logged() == []
    hands.page.goto("/#/sync")
    hands.page.get_by_label("Bring in a saved file", exact=True).set_input_files(saved)
    hands.type("The passphrase from before", PASSPHRASE)
    hands.tap("Open it and send it")
    hands.page.goto("/#/clients")
    hands.sees("Priya Private")
    hands.waits_until_sent()
    scene.arrived_once("Priya Private")
