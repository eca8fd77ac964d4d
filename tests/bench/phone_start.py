"""What a phone costs to start: the scripts of a first load, and a cold start without a network.

Times are medians at a slowed-down processor; a processor of another machine gives others, so each
stands beside a baseline of the same run.
"""

import gzip
import time
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from playwright.sync_api import BrowserContext, Page, Response, expect

from tests.services.phone import Phone
from tests.services.proxy import FaultingProxy
from tests.system.hands import PASSPHRASE, Hands

SLOWED_DOWN = 4
TRIES = 5


@dataclass(frozen=True)
class Scripts:
    """Gzipped bytes: up to the sign-in, and up to the first list of today."""

    to_sign_in: int
    to_today: int
    files: int


@dataclass(frozen=True)
class Start:
    """Seconds to the passphrase's field, and from the tap on "Unlock" to today's list."""

    to_the_lock: float
    to_the_list: float
    bare_read: float
    records: int

    @property
    def whole(self) -> float:
        return self.to_the_lock + self.to_the_list


class ScriptsSeen:
    def __init__(self, page: Page) -> None:
        self.sizes: dict[str, int] = {}
        page.on("response", self._note)

    def _note(self, response: Response) -> None:
        if response.request.resource_type == "script" and response.ok:
            self.sizes[response.url] = len(gzip.compress(response.body(), 9))

    @property
    def total(self) -> int:
        return sum(self.sizes.values())


ROWS_HELD = """async (records) => {
  const opened = (request) => new Promise((done) => {
    request.onsuccess = () => done(request.result);
  });
  const app = await opened(indexedDB.open("heelwright"));
  const blocks = await opened(app.transaction("blocks").objectStore("blocks").getAll());
  app.close();
  return blocks.reduce((sum, { rows }) => sum + rows, 0) >= records;
}"""


def first_load(phone: Phone, email: str, records: int) -> Scripts:
    """Signs in for good as well, so that `cold_start` may follow."""
    hands = Hands(phone)
    seen = ScriptsSeen(phone.open())
    phone.page.goto("/")
    hands.sees_heading("Sign in")
    phone.page.wait_for_load_state("networkidle")
    to_sign_in = seen.total
    hands.sign_in(email)
    hands.waits_until_sent()
    phone.page.wait_for_function(ROWS_HELD, arg=records, timeout=120_000)
    expect(phone.page.locator("ol > li a").first).to_be_visible(timeout=60_000)
    return Scripts(to_sign_in, seen.total, len(seen.sizes))


def cold_start(phone: Phone, network: FaultingProxy) -> Start:
    network.go_offline()
    starts = [_start(phone) for _ in range(TRIES)]
    bare, records = _bare_read(phone.page)
    network.go_online()
    phone.close()
    return Start(median(a for a, _ in starts), median(b for _, b in starts), bare, records)


def _start(phone: Phone) -> tuple[float, float]:
    page = phone.open_again()
    phone.context.set_offline(True)
    slow_down(phone.context, page)
    field = page.get_by_label("Passphrase", exact=True)
    began = time.perf_counter()
    page.goto("/")
    field.wait_for()
    to_the_lock = time.perf_counter() - began
    field.fill(PASSPHRASE)
    began = time.perf_counter()
    page.get_by_role("button", name="Unlock", exact=True).click()
    page.locator("ol > li a").first.wait_for()
    return to_the_lock, time.perf_counter() - began


def slow_down(context: BrowserContext, page: Page) -> None:
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED_DOWN})


def _bare_read(page: Page) -> tuple[float, int]:
    """As many records of the same sizes, read and opened with nothing but what the browser has."""
    tries = page.evaluate(BARE_READ, TRIES)
    return median(tries["seconds"]), tries["records"]


BARE_READ = Path(__file__).with_name("bare_read.js").read_text()
