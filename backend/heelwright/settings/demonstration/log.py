"""What the practice's devices sent over the year, in the order in which it was done."""

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from itertools import groupby
from typing import Any
from uuid import UUID

MOST = 100  # commands in one delivery


@dataclass(frozen=True)
class Sent:
    """One command of one member of staff. `closes` is the command whose incident it closes; only
    the server knows that incident's id."""

    id: UUID
    at: datetime
    staff: str
    name: str
    args: dict[str, Any]
    closes: UUID | None = None


@dataclass
class Log:
    """Collects commands; gives out ids from the randomness it was given."""

    chance: random.Random
    sent: list[Sent] = field(default_factory=list)

    def new_id(self, at: datetime) -> UUID:
        """A UUIDv7 (RFC 9562) of that moment."""
        number = int(at.timestamp() * 1000) << 80 | self.chance.getrandbits(80)
        number = number & ~(0xF << 76) | 7 << 76
        return UUID(int=number & ~(0b11 << 62) | 0b10 << 62)

    def say(
        self, staff: str, at: datetime, name: str, closes: UUID | None = None, /, **args: Any
    ) -> UUID:
        command = self.new_id(at)
        self.sent.append(Sent(command, at, staff, name, args, closes))
        return command


def deliveries(sent: Iterable[Sent]) -> Iterator[list[Sent]]:
    """Everything in order of time, cut where another device speaks."""
    in_order = sorted(sent, key=lambda command: command.at)
    for _, run in groupby(in_order, key=lambda command: command.staff):
        whole = list(run)
        for start in range(0, len(whole), MOST):
            yield whole[start : start + MOST]
