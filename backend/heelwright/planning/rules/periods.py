"""Spans of time in order, from and to: what is in both of two lists, and what is left without
some. The twin is `domain/planning/periods.ts`."""

from collections.abc import Sequence

Period = tuple[int, int]


def in_both(some: Sequence[Period], others: Sequence[Period]) -> list[Period]:
    return [
        (max(opens, starts), min(closes, ends))
        for opens, closes in some
        for starts, ends in others
        if max(opens, starts) < min(closes, ends)
    ]


def without(some: Sequence[Period], taken: Sequence[Period]) -> list[Period]:
    left = list(some)
    for starts, ends in taken:
        parts = [((o, min(c, starts)), (max(o, ends), c)) for o, c in left]
        left = [part for both in parts for part in both if part[0] < part[1]]
    return left
