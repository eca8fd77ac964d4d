"""A phone's rows as the sync protocol wants them kept: the smallest device that can be written."""

from typing import Any
from uuid import UUID

from heelwright.sync.pull import Pulled
from tests.world import Hand

Row = tuple[UUID, int, dict[str, Any]]


class PhoneModel:
    """Base rows by kind and id. `sync` pulls until there is no more."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand
        self.cursor: str | None = None
        self.rows: dict[tuple[str, UUID], Row] = {}
        self.pages = 0

    def sync(self) -> "PhoneModel":
        while self.take(self.hand.pull(self.cursor)).more:
            pass
        return self

    def take(self, page: Pulled) -> Pulled:
        self.pages += 1
        if page.reset:
            self.rows.clear()
        gone = set(page.forget)
        self.rows = {key: row for key, row in self.rows.items() if row[0] not in gone}
        for row in page.rows:
            if row.row is None:
                self.rows.pop((row.kind, row.id), None)
            else:
                self.rows[row.kind, row.id] = (row.scope, row.version, row.row)
        self.cursor = page.cursor
        return page

    def of(self, kind: str) -> dict[UUID, dict[str, Any]]:
        return {id_: row[2] for (named, id_), row in self.rows.items() if named == kind}


def fresh(hand: Hand) -> PhoneModel:
    """What a phone that starts with nothing has after its first sync."""
    return PhoneModel(hand).sync()
