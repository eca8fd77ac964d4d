"""What the next visits of clients are for, and how long they take. The visits know what was done;
they register here, since bookings do not know of visits."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from uuid import UUID

from heelwright.people.models import Client


@dataclass(frozen=True)
class Usual:
    """`service` is the id of one of the book's services."""

    service: str
    minutes: int


Lookup = Callable[[Collection[Client]], Mapping[UUID, Usual]]
_lookups: list[Lookup] = []


def tells_what_is_usual(lookup: Lookup) -> Lookup:
    """Register who knows what clients were visited for before."""
    _lookups.append(lookup)
    return lookup


def usual_visits(clients: Collection[Client]) -> Mapping[UUID, Usual]:
    """By client; without those of whom nobody knows it."""
    return {client: usual for lookup in _lookups for client, usual in lookup(clients).items()}
