"""What the commands of one delivery share: when its device last fetched, and what is to be done
once all of them are carried out."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol, TypeVar, cast


class Ending(Protocol):
    """Gathers what commands leave, and does it at the end, in the delivery's transaction."""

    def end(self) -> None: ...


Kind = TypeVar("Kind", bound=Ending)


@dataclass
class Taking:
    heard_at: datetime | None
    endings: dict[type, Ending] = field(default_factory=dict)


_current: ContextVar[Taking] = ContextVar("taking")


@contextmanager
def delivery(heard_at: datetime | None) -> Iterator[None]:
    taking = Taking(heard_at)
    token = _current.set(taking)
    try:
        yield
        for ending in taking.endings.values():
            ending.end()
    finally:
        _current.reset(token)


def heard_at() -> datetime | None:
    return _current.get().heard_at


def ending(kind: type[Kind]) -> Kind:
    """The one of its kind in this delivery."""
    endings = _current.get().endings
    if kind not in endings:
        endings[kind] = kind()
    return cast(Kind, endings[kind])
