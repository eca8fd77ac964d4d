"""Ends a browser that answers nothing any more: a page may wait for ever for its own compositor,
and Playwright puts no limit to an `evaluate`."""

import contextlib
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class BrowserHung(Exception):
    """The browsers of a test were ended, since it had not come to its end."""


@contextmanager
def browsers_answer(seconds: float) -> Iterator[None]:
    """Raise BrowserHung where what is inside takes longer; what it waits for then fails at once."""
    ended = threading.Event()

    def end() -> None:
        ended.set()
        for process in browsers_of(os.getpid()):
            with contextlib.suppress(ProcessLookupError):
                os.kill(process, signal.SIGKILL)

    timer = threading.Timer(seconds, end)
    timer.daemon = True
    timer.start()
    try:
        yield
    except Exception as failure:
        if ended.is_set():
            raise BrowserHung(f"no end after {seconds:g} seconds") from failure
        raise
    finally:
        timer.cancel()


def browsers_of(process: int) -> list[int]:
    """The Chromium processes among those that it started, and that these started."""
    parents: dict[int, int] = {}
    names: dict[int, str] = {}
    for folder in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            name, rest = (folder / "stat").read_text().split("(", 1)[1].rsplit(")", 1)
            parents[int(folder.name)], names[int(folder.name)] = int(rest.split()[1]), name
    below = {process}
    while more := {one for one, parent in parents.items() if parent in below} - below:
        below |= more
    return [one for one in below if "chrom" in names.get(one, "")]
