"""When clients are to be visited next. The visits know what was said at the last one; they register
here, since bookings do not know of visits."""

from collections.abc import Callable, Collection, Mapping
from uuid import UUID

from heelwright.people.models import Client
from heelwright.schedule.rules.due import Window

Lookup = Callable[[Collection[Client]], Mapping[UUID, Window]]
_lookups: list[Lookup] = []


def tells_when_due(lookup: Lookup) -> Lookup:
    """Register who knows when the next visits of clients are due."""
    _lookups.append(lookup)
    return lookup


def next_due(clients: Collection[Client]) -> Mapping[UUID, Window]:
    """By client; without those of whom nobody has said it."""
    return {client: due for lookup in _lookups for client, due in lookup(clients).items()}
