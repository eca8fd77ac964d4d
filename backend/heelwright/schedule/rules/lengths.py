"""What the next visit is for and how long it will take. The twin is
`pwa/src/domain/schedule/lengths.ts`.

By what the last ones took: of up to five, the middle one, rounded up to five minutes; of an even
number, the mean of the two in the middle. One visit alone says little, so that fewer than two leave
it to the book. Common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from heelwright.rulebook.service_entries import Service

FEWEST, MOST = 2, 5
STEP = 5
SHORTEST, LONGEST = 5, 480


@dataclass(frozen=True)
class PastVisit:
    """`service` is empty where its booking named none; `minutes` is null where it was not made
    whole."""

    service: str
    minutes: int | None


def usual_service(past: Sequence[PastVisit], services: Sequence[Service]) -> Service | None:
    """What the last visit was booked for; else, by the book, what a new client is or any other.
    `past` the newest first; null where the book lists none."""
    again = [one for one in services if past and one.id == past[0].service and not one.for_new]
    by_the_book = [one for one in services if one.for_new is (len(past) == 0)]
    return next(iter((*again, *by_the_book, *services)), None)


def usual_minutes(past: Sequence[PastVisit], service: Service) -> int:
    """Visits of before there were services count for any, but for a first one."""
    took = [
        one.minutes
        for one in past
        if one.minutes is not None
        and (one.service == service.id or (one.service == "" and not service.for_new))
    ]
    return proposed_minutes(service.minutes, took)


def proposed_minutes(by_the_book: int, took: Sequence[int]) -> int:
    """`took` are the whole minutes of the client's visits for this, the newest first."""
    last = took[:MOST]
    if len(last) < FEWEST:
        return by_the_book
    steps = -(-median(last) // STEP)
    return min(max(int(steps) * STEP, SHORTEST), LONGEST)
