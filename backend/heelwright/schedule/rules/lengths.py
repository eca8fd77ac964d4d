"""How long a visit will take. The twin is `pwa/src/domain/schedule/lengths.ts`.

By what the last ones took: of up to five, the middle one, rounded up to five minutes; of an even
number, the mean of the two in the middle. One visit alone says little, so that fewer than two leave
it to the book. Common practice, no source.
"""

from collections.abc import Sequence
from statistics import median

FEWEST, MOST = 2, 5
STEP = 5
SHORTEST, LONGEST = 5, 480


def proposed_minutes(by_the_book: int, took: Sequence[int]) -> int:
    """`took` are the whole minutes of the client's visits for this, the newest first."""
    last = took[:MOST]
    if len(last) < FEWEST:
        return by_the_book
    steps = -(-median(last) // STEP)
    return min(max(int(steps) * STEP, SHORTEST), LONGEST)
