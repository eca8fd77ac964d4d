"""Ends a browser that answers nothing any more: a page may wait for ever for its own compositor,
and Playwright puts no limit to an `evaluate`."""

import contextlib
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import psutil


class BrowserHung(Exception):
    """The browsers of a test were ended, since it had not come to its end."""


@contextmanager
def browsers_answer(seconds: float) -> Iterator[None]:
    """Raise BrowserHung where what is inside takes longer; what it waits for then fails at once."""
    ended = threading.Event()

    def end() -> None:
        ended.set()
        for process in psutil.Process().children(recursive=True):
            with contextlib.suppress(psutil.NoSuchProcess):
                if "chrom" in process.name():
                    process.kill()

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
