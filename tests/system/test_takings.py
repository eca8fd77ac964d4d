"""Money taken on the phone after a visit, without a signal: sent later, seen by the owner's other
device, corrected, and paid.

The sums are by hand: 38.00 and two of 9.50 are 57.00. The rest is common practice, no source.
"""

import os
from pathlib import Path

from playwright.sync_api import expect

from tests.factories import item_args, price_args
from tests.system.device import of_kind
from tests.system.home_visit import HomeVisit, noon_today
from tests.system.scene import Scene

PICTURES = os.environ.get("HEELWRIGHT_PICTURES")


def pictured(scene: Scene, name: str) -> None:
    if PICTURES:
        for width, scheme in ((360, "light"), (320, "dark"), (1280, "light")):
            scene.page.set_viewport_size({"width": width, "height": 780})
            scene.page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
            to = Path(PICTURES) / f"{name}-{width}-{scheme}.png"
            scene.page.screenshot(path=to, full_page=True)
        scene.page.set_viewport_size({"width": 360, "height": 780})


def a_visit_is_done(scene: Scene) -> HomeVisit:
    owner = scene.other
    day = HomeVisit(owner.staff, starts_at=noon_today())
    owner.must("register_client", **day.card(name="Ida Invented"))
    owner.must("book_visit", **day.booked())
    owner.must("record_screen", **day.screened())
    owner.must("record_foot_check", **day.checked())
    owner.must("sign_consent", **day.signed(signer_name="Ida Invented"))
    owner.must("start_visit", **day.started())
    owner.must("complete_visit", **day.completed(aftercare=["dry_between_toes"]))
    return day


def a_price_list(scene: Scene) -> None:
    owner = scene.other
    owner.must("set_money", currency="GBP", tax_on_top=False)
    cream = {"kind": "product", "name": "Foot cream", "advice": "dry_between_toes"}
    for card, amount in ((item_args(), "38.00"), (item_args(**cream), "9.50")):
        owner.must("set_price_item", **card)
        price = price_args(item=card["item"], amount=amount, currency="GBP", tax="20")
        owner.must("set_price", **price)


def takes_money(scene: Scene, day: HomeVisit) -> None:
    hands = scene.hands
    scene.page.goto(f"/#/visit/{day.visit}/aftercare")
    hands.tap("Take payment")
    hands.sees("Goes with the advice you gave")
    expect(scene.page.get_by_role("button", name="Save £0.00")).to_be_disabled()
    hands.tap("Foot care at home, £38.00")
    hands.tap("Foot cream, £9.50 (0 in your bag)")
    hands.tap("Foot cream, £9.50 (0 in your bag)")
    hands.choose("Not paid yet")
    pictured(scene, "take")
    hands.tap("Save £57.00")
    hands.sees("Still due: £57.00")
    hands.sees("In it is tax of 20 %: £9.50")
    pictured(scene, "sale")


def is_paid(scene: Scene, sale: str) -> None:
    scene.page.goto(f"/#/sale/{sale}")
    scene.hands.choose("In cash")
    scene.hands.tap("£57.00 was paid")
    expect(scene.page.get_by_text("Still due")).to_have_count(0)


def test_money_is_taken_after_a_visit_without_a_signal(scene: Scene) -> None:
    a_price_list(scene)
    day = a_visit_is_done(scene)
    scene.sign_in()
    hands = scene.hands
    scene.go_offline()
    takes_money(scene, day)
    scene.go_online()
    hands.waits_until_sent()
    [(sale, row)] = of_kind(scene.other.pull(), "sale").items()
    assert (row["visit"], row["paid"]) == (str(day.visit), "not_yet")
    assert [line["quantity"] for line in row["lines"]] == [1, 2]
    assert str(day.client) not in str(row)
    scene.go_offline()
    is_paid(scene, sale)
    for screen, words in (
        (f"sale/{sale}/receipt", "£57.00, in cash"),
        ("takings", "In cash: £57.00"),
        ("bag", "-2 in the bag"),
        ("prices", "£38.00, 20 % tax"),
    ):
        scene.page.goto(f"/#/{screen}")
        hands.sees(words)
        pictured(scene, screen.rpartition("/")[2])
    scene.go_online()
    hands.waits_until_sent()
    [paid] = of_kind(scene.other.pull(), "payment").values()
    assert (paid["sale"], paid["amount"], paid["way"]) == (sale, "57.00", "cash")
