"""A phone: Chromium at 360x780 with its profile on disk, so that it can be shut and opened cold.

The folder `profile` is what a finder of the phone has; look there for what must not be readable.
Faults of the network are the proxy's affair: Playwright's own do not reach the service worker.
"""

import contextlib
import os
import shutil
import signal
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Error, Page, Playwright

NAMES = ("chromium", "chromium-browser", "google-chrome-stable", "google-chrome")
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
)


def chromium() -> str:
    found = next(filter(None, map(shutil.which, NAMES)), None)
    assert found, "no Chromium in the path: run `make browser`"
    return found


LOOKS: dict[str, Any] = {
    "viewport": {"width": 360, "height": 780},
    "has_touch": True,
    "is_mobile": True,
    "locale": "en-GB",
    "timezone_id": "Europe/London",
}


class Phone:
    """One device. `open` is a cold start; `close` shuts the browser, `kill` ends it unwarned. The
    profile stays."""

    def __init__(self, playwright: Playwright, profile: Path, base_url: str) -> None:
        self.profile = profile
        self.base_url = base_url
        self.arguments = list(ARGUMENTS)
        self.looks = dict(LOOKS)
        self._playwright = playwright
        self._context: BrowserContext | None = None
        self._browser = 0

    @property
    def context(self) -> BrowserContext:
        assert self._context is not None, "the phone is shut"
        return self._context

    @property
    def page(self) -> Page:
        return self.context.pages[0]

    def open(self) -> Page:
        assert self._context is None, "the phone is open"
        self._context = self._playwright.chromium.launch_persistent_context(
            str(self.profile),
            executable_path=chromium(),
            args=self.arguments,
            # Chromium keeps a folder of its own in the home, which need not be writable.
            env={**os.environ, "HOME": str(self.profile), "XDG_CONFIG_HOME": str(self.profile)},
            headless=True,
            base_url=self.base_url,
            **self.looks,
        )
        self._browser = min(self._processes())
        return self.page

    def open_private(self) -> Page:
        """In a private window: what is kept is gone when it is closed."""
        assert self._context is None, "the phone is open"
        browser = self._playwright.chromium.launch(executable_path=chromium(), args=list(ARGUMENTS))
        self._context = browser.new_context(base_url=self.base_url, **self.looks)
        return self._context.new_page()

    def kill(self) -> None:
        """SIGKILL to the browser at once, then to what is left of it; returns when all are gone."""
        os.kill(self._browser, signal.SIGKILL)
        while left := self._processes():
            for process in left:
                with contextlib.suppress(ProcessLookupError):
                    os.kill(process, signal.SIGKILL)
            time.sleep(0.01)
        with contextlib.suppress(Error):
            self.context.close()
        self._context = None

    def close(self) -> None:
        if self._context is not None:
            private = self._context.browser
            self._context.close()
            if private is not None:
                private.close()
            self._context = None

    def open_again(self) -> Page:
        """Shut, then started cold."""
        self.close()
        return self.open()

    def _processes(self) -> list[int]:
        """Of this profile; the browser itself came first. One that has ended has no arguments."""
        mine = f"--user-data-dir={self.profile}".encode()
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            with contextlib.suppress(OSError):
                if mine in (folder / "cmdline").read_bytes().split(b"\0"):
                    found.append(int(folder.name))
        return found
