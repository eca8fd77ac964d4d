"""The log for an inspector, from the phone: as a table to keep, and as a paper in a tab. Its lines:
tests/kit/test_log.py, which names their source."""

import csv
import io
from pathlib import Path

from playwright.sync_api import expect

from tests.kit.hands import machine_card, set_card
from tests.system.kit_bag import KitBag
from tests.system.scene import Scene


def test_the_log_of_some_days_is_kept_as_a_table(scene: Scene) -> None:
    bag = KitBag(scene.other)
    bag.through(bag.register(machine_card()), bag.register(set_card("Set for heels")))
    scene.sign_in()
    scene.page.goto("/#/kit")
    scene.hands.tap("Log for an inspector")
    scene.hands.choose("Last 7 days")
    with scene.page.expect_download() as kept:
        scene.hands.tap("Keep as a table (CSV)")
    assert kept.value.suggested_filename.startswith("kit_log_")
    rows = list(csv.DictReader(io.StringIO(Path(kept.value.path()).read_text("utf-8-sig"))))
    assert [row["What"] for row in rows] == ["Washed", "Cycle", "Dried and packed"]
    assert rows[1]["Result"] == "Complete" and "Set for heels" in rows[1]["Of"]
    scene.hands.opens_paper("Open as a PDF")


def test_days_the_wrong_way_round_are_said(scene: Scene) -> None:
    scene.sign_in()
    scene.page.goto("/#/kit/log")
    scene.page.get_by_label("First day").fill("")
    expect(scene.page.get_by_role("button", name="Open as a PDF")).to_be_disabled()
    scene.hands.sees("First day")
