"""A label before the camera of a real browser, and one that is typed. The labels are printed by the
server's own template and drawn askew, as held in a hand; Chromium takes the film for its camera.
Check: our own rules (decision 0179)."""

import json
import re
from collections.abc import Callable
from io import BytesIO

import pytest
import typst
import zxingcpp
from PIL import Image, ImageFilter
from playwright.sync_api import JSHandle, expect

from heelwright.clock import now
from heelwright.ids import new_id
from heelwright.kit.label_sheet import A4, Label, sheet
from tests.kit.hands import set_card
from tests.services.served import ROOT
from tests.system.camera import SEEN, sees
from tests.system.hands import shown
from tests.system.scene import Scene

TEMPLATE = ROOT / "backend" / "heelwright" / "kit" / "label_sheet.typ"
ONE, OTHER = "0000-16JD", "ZZZZ-ZZZJ"
NOT_KNOWN = "is not known on this phone"
SOMETHING_ELSE = "the code of something else"
PPI = 200
TRACK = "document.querySelector('video').srcObject.getTracks()[0]"
DETECTOR = "'BarcodeDetector' in globalThis"


def label(code: str, turn: float = 12) -> Image.Image:
    """On a grey table, turned and not quite sharp."""
    data = sheet([Label(code, "Set 1", "Invented Feet")], "", now())
    inputs = {"data": json.dumps(data)}
    page = typst.compile(TEMPLATE.read_bytes(), format="png", ppi=PPI, sys_inputs=inputs)
    width, height = (int(float(str(A4[side])) / 25.4 * PPI) for side in ("width", "height"))
    return on_a_table(Image.open(BytesIO(page)).crop((0, 0, width, height)), turn)


def goods() -> Image.Image:
    """What stands on a product in a shop (EAN-13, with an invented number)."""
    made = zxingcpp.create_barcode("4006381333931", zxingcpp.BarcodeFormat.EAN13)
    return on_a_table(Image.fromarray(made.to_image(scale=4)), 3)


def on_a_table(paper: Image.Image, turn: float) -> Image.Image:
    table = Image.new("L", SEEN, 150)
    turned = paper.convert("L").rotate(turn, expand=True, fillcolor=150)
    table.paste(turned, ((SEEN[0] - turned.width) // 2, (SEEN[1] - turned.height) // 2))
    return table.filter(ImageFilter.GaussianBlur(1))


TYPED = {
    "0000 16j": "Type all of them.",
    "0000-16JU": "letters without U",
    "0000-16JE": "Compare them with the label.",
    "oooo i6jd": f"{shown(ONE)} {NOT_KNOWN}",
}
NOTHING = Image.new("L", SEEN, 150)


@pytest.fixture
def film(scene: Scene, tmp_path_factory: pytest.TempPathFactory) -> Callable[..., None]:
    """Signs in on a phone whose camera sees these."""

    def shoot(*scenes: Image.Image) -> None:
        sees(scene.hands, tmp_path_factory.mktemp("film") / "film.y4m", scenes)
        scene.hands.phone.open()
        scene.hands.phone.context.grant_permissions(["camera"])
        scene.sign_in_here()

    return shoot


def scan(scene: Scene) -> None:
    scene.page.goto("/#/kit/scan")
    scene.hands.sees_heading("Find by label")


def track(scene: Scene) -> JSHandle:
    """Of the open camera."""
    expect(scene.page.locator("video")).to_have_js_property("readyState", 4)
    return scene.page.evaluate_handle(TRACK)


def test_labels_and_goods_are_read_and_nothing_leaves_the_phone(
    scene: Scene, film: Callable[..., None]
) -> None:
    film(label(ONE), NOTHING, label(OTHER, turn=-160), NOTHING, goods(), NOTHING)
    asked: list[str] = []
    scene.page.on("request", lambda request: asked.append(f"{request.method} {request.url}"))
    scan(scene)
    assert not scene.page.evaluate(DETECTOR), "the library is what is tried here"
    alert = scene.page.get_by_role("alert").filter(has_text="Not this code")
    for words in (f"{shown(ONE)} {NOT_KNOWN}", f"{shown(OTHER)} {NOT_KNOWN}", SOMETHING_ELSE):
        expect(alert).to_contain_text(words, timeout=15_000)
    assert any(one.endswith(".wasm") for one in asked)
    assert [one for one in asked if not one.startswith(f"GET {scene.proxy.url}/assets/")] == []


def test_the_label_that_is_pointed_at_leads_to_its_set(
    scene: Scene, film: Callable[..., None]
) -> None:
    """Another one lies in a corner of what the camera sees."""
    known, thing = "0000-0150", str(new_id())
    scene.other.must("register_thing", thing=thing, label=known, card=set_card("Olive's set"))
    beside = label(OTHER, turn=0).crop((390, 240, 760, 480))
    tray = label(known)
    tray.paste(beside, (0, 0))
    film(tray)
    scene.page.goto("/#/kit")
    scene.hands.tap("Find by label")
    expect(scene.page).to_have_url(re.compile(f"#/kit/{thing}$"))


def test_labels_are_printed_from_the_kit(scene: Scene) -> None:
    """What is on the paper: tests/kit/test_label_paper.py."""
    card = set_card("Spare set")
    scene.other.must("register_thing", thing=new_id(), label="0000-00ZZ", card=card)
    scene.sign_in()
    scene.page.goto("/#/kit")
    with scene.page.expect_response("**/api/documents/label_sheet/**") as printed:
        scene.hands.tap("Print labels")
    assert printed.value.status == 200
    assert printed.value.headers["content-type"] == "application/pdf"


def test_it_reads_with_no_signal_after_a_cold_start(
    scene: Scene, film: Callable[..., None]
) -> None:
    """The reader has never been asked for while there was a signal: it came with the app."""
    film(label(ONE))
    scene.proxy.go_offline()
    scene.hands.phone.open_again()
    scene.hands.phone.context.grant_permissions(["camera"])
    scene.page.goto("/#/kit/scan")
    scene.hands.unlock()
    scene.hands.sees(f"{shown(ONE)} {NOT_KNOWN}")


def test_it_reads_where_a_browser_cannot_be_asked_for_a_lamp(
    scene: Scene, film: Callable[..., None]
) -> None:
    film(label(ONE))
    scene.page.evaluate("delete MediaStreamTrack.prototype.getCapabilities")
    scan(scene)
    scene.hands.sees(f"{shown(ONE)} {NOT_KNOWN}")
    expect(scene.page.get_by_role("button", name="Light")).to_have_count(0)


def test_the_camera_is_let_go(scene: Scene, film: Callable[..., None]) -> None:
    film(label(ONE))
    scan(scene)
    left = track(scene)
    scene.hands.tap("Back")
    scene.hands.sees_heading("Kit")
    assert left.evaluate("it => it.readyState") == "ended"
    scan(scene)
    locked = track(scene)
    assert locked.evaluate("it => it.readyState") == "live"
    scene.hands.tap("Lock")
    scene.hands.sees_heading("Unlock")
    assert locked.evaluate("it => it.readyState") == "ended"


def test_a_camera_that_is_not_allowed_and_then_is(scene: Scene, film: Callable[..., None]) -> None:
    film(label(ONE))
    scene.hands.phone.context.clear_permissions()
    scan(scene)
    scene.hands.sees("The camera is not allowed")
    scene.hands.phone.context.grant_permissions(["camera"])
    scene.hands.tap("Try again")
    scene.hands.sees(f"{shown(ONE)} {NOT_KNOWN}")


def test_without_a_camera_the_code_is_typed(scene: Scene) -> None:
    scene.sign_in()
    scene.hands.phone.context.grant_permissions(["camera"])
    scan(scene)
    scene.hands.sees("No camera here")
    field = scene.page.get_by_label("Type the code", exact=True)
    for typed, told in TYPED.items():
        field.fill(typed)
        scene.hands.tap("Use this code")
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(field).to_have_accessible_description(re.compile(re.escape(told)))
