"""When a client is to be visited next. The visits know what was said at the last one; they register
here, since bookings do not know of visits."""

from collections.abc import Callable

from heelwright.people.models import Client
from heelwright.schedule.rules.due import Window

Lookup = Callable[[Client], Window | None]
_lookups: list[Lookup] = []


def tells_when_due(lookup: Lookup) -> Lookup:
    """Register who knows when a client's next visit is due."""
    _lookups.append(lookup)
    return lookup


def next_due(client: Client) -> Window | None:
    """None where nobody has said it."""
    known = (lookup(client) for lookup in _lookups)
    return next((due for due in known if due is not None), None)
