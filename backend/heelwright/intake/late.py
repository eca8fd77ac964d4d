"""Tells the areas above when something comes on record that may change how an earlier moment stood.

What was done without signal arrives in any order: a screen, a withdrawal, a slip may come after the
visit that it speaks against. `visits` registers here; nothing here knows it.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from datetime import datetime

from heelwright.commandlog.act import Act
from heelwright.commandlog.contact import reaches_back_to
from heelwright.commandlog.device_clock import SLACK
from heelwright.people.models import Client

Watch = Callable[[Act, Client, datetime], AbstractContextManager[None]]
_watching: list[Watch] = []


def watches_records(watch: Watch) -> Watch:
    """Register a context that is entered before a record of a client is written and left after.

    The moment it gets is when that happened which the record tells.
    """
    _watching.append(watch)
    return watch


@contextmanager
def on_record(act: Act, client: Client, since: datetime) -> Iterator[None]:
    """Write within it what may hold the work on a client from a moment on.

    That moment counts as far as the phone can tell of it as news, so that one date of long ago does
    not put all visits of a client under review.
    """
    earliest = _earliest(act, since)
    act.too_early = act.too_early or since < earliest
    with ExitStack() as watched:
        for watch in _watching:
            watched.enter_context(watch(act, client, max(since, earliest)))
        yield


def _earliest(act: Act, since: datetime) -> datetime:
    just_now = act.now - SLACK
    if act.record is None or since >= just_now:
        return just_now
    return min(just_now, reaches_back_to(act.record))
