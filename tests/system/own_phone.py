"""A client with a phone of their own: reads the code off the technician's screen, and signs."""

import io
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import zxingcpp
from PIL import Image
from playwright.sync_api import Page, Playwright, expect

from tests.services.phone import Phone
from tests.system.hands import Hands
from tests.system.home_visit import HomeVisit
from tests.system.scene import Scene
from tests.system.test_axe import AXE, RUN

PICTURES = os.environ.get("HEELWRIGHT_PICTURES")
SIZES = {"phone": (360, 780), "narrow": (320, 640), "desktop": (1280, 900)}
KEPT = """() => indexedDB.databases().then((all) => [
  ...all.map(({ name }) => name), ...Object.keys(localStorage), ...Object.keys(sessionStorage),
  document.cookie].filter((each) => each !== ""))"""


class OwnPhones:
    """Phones of people who have nothing to do with the practice, on the technician's network."""

    def __init__(self, playwright: Playwright, folder: Path, base_url: str) -> None:
        self._made = (playwright, folder, base_url)
        self._phones: list[Phone] = []

    def new(self) -> Hands:
        playwright, folder, base_url = self._made
        phone = Phone(playwright, folder / f"own-{len(self._phones)}", base_url)
        self._phones.append(phone)
        phone.open()
        return Hands(phone)

    def close(self) -> None:
        for phone in self._phones:
            phone.close()


@contextmanager
def own_phones(playwright: Playwright, folder: Path, base_url: str) -> Iterator[OwnPhones]:
    phones = OwnPhones(playwright, folder, base_url)
    try:
        yield phones
    finally:
        phones.close()


def client_of(scene: Scene, name: str = "Ida Invented", **card: object) -> HomeVisit:
    """A client on whose feet nobody may work yet."""
    day = HomeVisit(scene.other.staff)
    scene.other.must("register_client", **day.card(name=name, **card))
    return day


def prepare(scene: Scene, day: HomeVisit) -> None:
    scene.page.goto(f"/#/client/{day.client}/consent")
    scene.hands.sees_heading("Consent")
    scene.hands.may_decide()


def scanned(page: Page) -> str:
    """What another phone's camera makes of the screen; by zxing, which knows nothing of the app."""
    code = page.get_by_role("img", name="Code that holds the link")
    code.scroll_into_view_if_needed()
    found = zxingcpp.read_barcodes(Image.open(io.BytesIO(page.screenshot())))
    assert [one.format for one in found] == [zxingcpp.BarcodeFormat.QRCode]
    return str(found[0].text)


def sees(page: Page, heading: str, seconds: int = 40) -> None:
    title = page.get_by_role("heading", level=1, name=heading, exact=True)
    expect(title).to_be_visible(timeout=seconds * 1000)


def comes(page: Page, words: str) -> None:
    """Word of one phone gets to another by the server, when that is asked the next time."""
    expect(page.get_by_text(words).first).to_be_visible(timeout=40_000)


def left_on(page: Page) -> list[str]:
    kept: list[str] = page.evaluate(KEPT)
    return kept


class Beholder:
    """Looks at a page in each size, light and dark: axe, nothing off to the side, a picture."""

    def __init__(self, sizes: Mapping[str, tuple[int, int]] = SIZES) -> None:
        self.sizes = sizes
        self.found: list[str] = []

    def look(self, page: Page, name: str) -> None:
        before = page.viewport_size
        for size, (width, height) in self.sizes.items():
            page.set_viewport_size({"width": width, "height": height})
            over = page.evaluate("document.documentElement.scrollWidth - innerWidth")
            self.found += [f"{name}, {size}: {over} px too wide"] if over > 0 else []
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
                page.evaluate(AXE)
                result = page.evaluate(RUN)
                assert result["checked"] > 5, "axe did not run"
                self.found += [f"{name}, {size}, {scheme}: {one}" for one in result["found"]]
                if PICTURES:
                    page.screenshot(path=Path(PICTURES) / f"own-{name}-{size}-{scheme}.png")
        page.set_viewport_size(before or {"width": 360, "height": 780})
        page.emulate_media(color_scheme="light")
