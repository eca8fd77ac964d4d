"""Unsent work outlives a forgotten passphrase, a lost phone, an ended lease and a shut-out.

Check: our own rule; for the screens, axe as in test_axe.
"""

import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest
from playwright.sync_api import expect

from tests.services.phone import Phone
from tests.services.served import ServedApp
from tests.system.database import logged_of
from tests.system.device import Device, of_kind
from tests.system.hands import PASSPHRASE
from tests.system.practice import owner_of
from tests.system.test_axe import Looker
from tests.system.unsent import (
    NEW_PASSPHRASE,
    UNA,
    enter_offline,
    forget,
    names,
    sign_in_anew,
    signed_in,
)


@pytest.fixture
def other(live_server_process: ServedApp) -> Device:
    return owner_of(live_server_process)


@pytest.fixture
def looker(other: Device, new_phone: Callable[[str], Phone]) -> Looker:
    return Looker(signed_in(new_phone("owner")))


def incidents(device: Device) -> list[str]:
    return [row["code"] for row in of_kind(device.pull(), "incident").values()]


def test_the_practice_opens_work_whose_passphrase_is_forgotten(
    looker: Looker, other: Device
) -> None:
    hands = looker.hands
    forget(hands)
    hands.sees("2 entries wait here: not sent, or refused. The oldest is from")
    hands.sees("The practice has a second key to it")
    looker.look("door-forgotten-recoverable")
    hands.phone.context.set_offline(False)
    hands.tap("Sign in again")
    sign_in_anew(hands, "Sync")
    hands.sees("This work is back and is being sent")
    hands.waits_until_sent()
    expect(hands.page.get_by_text("But what is set aside")).to_have_count(0)
    looker.look("sync-recovered")
    assert names(other) == [UNA]
    assert incidents(other) == ["unsent_work_recovered"]
    assert not looker.found, "\n\n".join(looker.found)


def test_a_copy_that_no_phone_of_the_person_made_is_not_opened(
    looker: Looker, other: Device
) -> None:
    hands = looker.hands
    forget(hands, FORGED)
    hands.phone.context.set_offline(False)
    hands.tap("Sign in again")
    sign_in_anew(hands, "Sync")
    hands.sees("The practice cannot tell that one of your phones made this")
    looker.look("sync-not-proved")
    expect(hands.page.get_by_role("button", name="Open it with the practice")).to_have_count(0)
    assert incidents(other) == []
    hands.type("The passphrase from before", PASSPHRASE)
    hands.tap("Open it and send it")
    expect(hands.page.get_by_label("The passphrase from before")).to_have_count(0)
    hands.waits_until_sent()
    assert names(other) == [UNA]
    assert not looker.found, "\n\n".join(looker.found)


def test_a_changed_passphrase_opens_the_same_records(looker: Looker) -> None:
    hands = looker.hands
    enter_offline(hands)
    hands.page.goto("/#/settings")
    hands.tap("Change the passphrase")
    hands.sees_heading("Change the passphrase")
    looker.look("settings-passphrase")
    hands.type("The passphrase now", "seven quiet heron")
    hands.type("New passphrase", NEW_PASSPHRASE)
    hands.type("The same again", NEW_PASSPHRASE)
    hands.tap("Change it")
    hands.sees("That is not the passphrase.")
    hands.type("The passphrase now", PASSPHRASE)
    hands.tap("Change it")
    hands.sees("The passphrase is changed")
    looker.look("settings-passphrase-changed")
    hands.page.reload()
    hands.type("Passphrase", PASSPHRASE)
    hands.tap("Unlock")
    hands.sees("That is not the passphrase.")
    hands.type("Passphrase", NEW_PASSPHRASE)
    hands.tap("Unlock")
    hands.page.goto("/#/clients")
    hands.sees(UNA)
    assert not looker.found, "\n\n".join(looker.found)


def test_a_file_from_a_locked_phone_opens_on_another_and_makes_nothing_twice(
    looker: Looker, other: Device, new_phone: Callable[[str], Phone], tmp_path: Path
) -> None:
    hands = looker.hands
    enter_offline(hands)
    hands.page.reload()
    hands.page.get_by_text("Unsent work as a file").click()
    looker.look("door-save-unsent")
    with hands.page.expect_download() as download:
        hands.tap("Save unsent work to a file")
    name = download.value.suggested_filename
    assert name == f"unsent-work-{datetime.now(UTC).date()}.json"
    kept = tmp_path / name
    download.value.save_as(kept)
    hands.sees(f"Saved as {name}")
    assert UNA not in kept.read_text()

    second = signed_in(new_phone("second"))
    second.page.goto("/#/sync")
    damaged = tmp_path / "damaged.json"
    damaged.write_text(kept.read_text()[:-300])
    second.page.get_by_label("Bring in a saved file").set_input_files(damaged)
    second.sees("This file is damaged or cut short")
    second.page.get_by_label("Bring in a saved file").set_input_files(kept)
    second.sees("The file is here")
    looker_there = Looker(second)
    looker_there.look("sync-file-taken-in")
    second.type("The passphrase from before", PASSPHRASE)
    second.tap("Open it and send it")
    expect(second.page.get_by_label("The passphrase from before")).to_have_count(0)
    second.waits_until_sent()
    assert names(other) == [UNA]

    hands.phone.context.set_offline(False)
    hands.unlock()
    hands.waits_until_sent()
    assert names(other) == [UNA]
    assert not [*looker.found, *looker_there.found], "\n\n".join(looker.found)


def test_a_phone_that_was_not_heard_of_for_too_long_opens_by_connecting(
    other: Device, new_phone: Callable[[str], Phone]
) -> None:
    other.must("set_offline_lease", days=2)
    looker = Looker(signed_in(new_phone("owner")))
    hands = looker.hands
    enter_offline(hands)
    hands.page.clock.set_fixed_time(datetime.now(UTC) + timedelta(days=3))
    hands.page.reload()
    hands.type("Passphrase", PASSPHRASE)
    hands.tap("Unlock")
    hands.sees_heading("Connect to open the records")
    hands.sees("Nothing is lost")
    looker.look("door-lease-over")
    assert UNA not in hands.page.content()
    hands.tap("Connect now")
    hands.sees("There is no connection.")
    hands.phone.context.set_offline(False)
    expect(hands.page.get_by_role("button", name="Lock")).to_be_visible()
    hands.page.goto("/#/clients")
    hands.sees(UNA)
    assert names(other) == [UNA]
    assert not looker.found, "\n\n".join(looker.found)


def test_a_phone_that_is_shut_out_hands_in_its_work_first(
    looker: Looker, other: Device, live_server_process: ServedApp
) -> None:
    hands = looker.hands
    enter_offline(hands)
    number = hands.page.evaluate(DEVICE)
    other.must("revoke_device", device=number, save_unsent=True)
    hands.phone.context.set_offline(False)
    hands.page.evaluate("dispatchEvent(new Event('online'))")
    hands.sees_heading("This phone has been shut out")
    hands.sees("Your work is handed in")
    looker.look("door-shut-out-handed-in")
    handed_in = [entry.name for entry in logged_of(live_server_process, UUID(number))]
    assert handed_in == ["register_client", "assign_client"]
    assert json.loads(hands.page.evaluate(LEFT)) == {
        "blocks": 0,
        "outbox": 0,
        "settled": 0,
        "drafts": 0,
        "keys": ["numbers_from", "progress", "rulebook"],
    }
    assert not looker.found, "\n\n".join(looker.found)


def test_the_owner_is_asked_whether_to_take_in_what_a_phone_has(looker: Looker) -> None:
    hands = looker.hands
    hands.page.goto("/#/team")
    hands.page.get_by_text("Shut this phone out").first.click()
    expect(hands.page.get_by_role("button", name="Yes, shut it out")).to_be_disabled()
    hands.choose_in("Take in what it has not sent yet?", "Yes")
    hands.sees("It may still hand in what was entered on it")
    looker.look("team-shut-out")
    hands.tap("Yes, shut it out")
    hands.sees("Shut out")
    hands.waits_until_sent()
    assert not looker.found, "\n\n".join(looker.found)


def test_the_owner_sets_how_long_records_stay_open_and_is_not_warned_at_once(
    looker: Looker,
) -> None:
    hands = looker.hands
    hands.page.goto("/#/team")
    hands.type("For how long, from 1 to 90 (days)", "1")
    hands.tap("Set the days")
    hands.sees("The days are set")
    hands.sees("Phones show records for 1 day without a connection.")
    looker.look("team-days-set")
    hands.waits_until_sent()
    hands.fetch()
    hands.waits_until_sent()
    expect(hands.page.get_by_text("Records close in")).to_have_count(0)
    assert not looker.found, "\n\n".join(looker.found)


OPEN = """const db = await new Promise((resolve) => {
  const request = indexedDB.open("heelwright");
  request.onsuccess = () => resolve(request.result);
});
const ask = (request) => new Promise((resolve) => {
  request.onsuccess = () => resolve(request.result);
});
const store = (name) => db.transaction(name).objectStore(name);
"""
DEVICE = f"async () => {{ {OPEN} return (await ask(store('meta').get('progress'))).device; }}"
# What anybody can make who has the practice's public key: a copy with a token that is none.
FORGED = f"""async () => {{ {OPEN}
  const wrapped = await ask(store("meta").get("wrapped_key"));
  const {{ practice, staff, lock }} = wrapped.recovery;
  const spki = Uint8Array.from(atob(lock), (letter) => letter.charCodeAt(0));
  const oaep = {{ name: "RSA-OAEP", hash: "SHA-256" }};
  const key = await crypto.subtle.importKey("spki", spki, oaep, false, ["encrypt"]);
  const text = new TextEncoder();
  const label = text.encode(`heelwright.recovery.2/${{practice}}/${{staff}}`);
  const copy = text.encode("k".repeat(32) + "t".repeat(43));
  const ct = new Uint8Array(await crypto.subtle.encrypt({{ ...oaep, label }}, key, copy));
  const forged = {{ ...wrapped, recovery: {{ ...wrapped.recovery, ct }} }};
  await ask(db.transaction("meta", "readwrite").objectStore("meta").put(forged, "wrapped_key"));
}}"""
LEFT = f"""async () => {{ {OPEN}
  const left = {{}};
  for (const name of ["blocks", "outbox", "settled", "drafts"])
    left[name] = await ask(store(name).count());
  left.keys = await ask(store("meta").getAllKeys());
  return JSON.stringify(left);
}}"""
