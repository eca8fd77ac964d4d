"""People with phones who all work at once: what each has made, sent, and been told."""

from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.sync import cursor as cursors
from heelwright.sync.cursor import Cursor
from heelwright.sync.pull import Pulled
from tests.sync.phone_model import PhoneModel
from tests.world import Hand, World, phone_of

Key = tuple[str, UUID]
NAMES = ("owner", "technician", "colleague", "coordinator", "stranger")


@dataclass(frozen=True)
class Sight:
    """What a phone had on a page without `more`: how far the server knew it, and its rows."""

    device: UUID
    next_seq: int
    rows: frozenset[Key]


class WatchedPhone(PhoneModel):
    """A phone model that looks at each page as it comes (invariant 6 of docs/sync.md)."""

    def __init__(self, hand: Hand) -> None:
        super().__init__(hand)
        self.sights: list[Sight] = []

    def take(self, page: Pulled) -> Pulled:
        before = cursors.read(self.cursor) or Cursor()
        after = cursors.read(page.cursor)
        assert after is not None
        versions = [row.version for row in page.rows]
        assert versions == sorted(set(versions)), "rows of a page rise by version"
        assert page.reset or after.done >= before.done, "the cursor went back"
        assert all(version <= max(after.done, after.upper) for version in versions)
        if self.hand.staff.role == "owner" and not page.reset:
            assert all(version > before.done for version in versions), "served before"
        super().take(page)
        if not page.more:
            self.sights.append(Sight(page.device, page.next_seq, frozenset(self.rows)))
        return page


@dataclass
class Person:
    """One person at their present phone. `outbox` is all that was made under its number or moved to
    it, in order; `earlier` are the phones before with theirs."""

    name: str
    hand: Hand
    phone: WatchedPhone
    outbox: list[Envelope] = field(default_factory=list)
    earlier: list[tuple[Hand, list[Envelope]]] = field(default_factory=list)

    def make(self, name: str, args: dict[str, Any]) -> Envelope:
        self.outbox.append(self.hand.envelope(name, args))
        return self.outbox[-1]

    def move(self, keep_rows: bool, again: int) -> None:
        """A new number for the same person: what was made here goes along, but for what was
        answered long ago; `again` of the answered ones do as well."""
        before, outbox = self.hand, self.outbox
        self.earlier.append((before, outbox))
        self.hand = phone_of(before.staff, before.now)
        self.outbox = []
        for envelope in outbox[-again:]:
            self.hand.seq += 1
            self.outbox.append(envelope.model_copy(update={"seq": self.hand.seq}))
        if keep_rows:
            self.phone.hand = self.hand
        else:
            self.phone = WatchedPhone(self.hand)


@dataclass
class Answers:
    """The first receipt of every command; each later one must say the same (invariant 2)."""

    first: dict[UUID, Receipt] = field(default_factory=dict)
    done: set[UUID] = field(default_factory=set)

    def take(self, envelopes: list[Envelope], receipts: list[Receipt]) -> None:
        assert [(r.id, r.seq) for r in receipts] == [(e.id, e.seq) for e in envelopes]
        late = [r.status == "held_back" for r in receipts]
        assert late == sorted(late), "nothing is taken after a gap"
        for receipt in receipts:
            if receipt.status != "held_back":
                self._one(receipt)

    def _one(self, receipt: Receipt) -> None:
        if receipt.status != "already_applied":
            assert receipt.id not in self.done, f"done twice: {receipt}"
            self.done.add(receipt.id)
        known = self.first.setdefault(receipt.id, receipt)
        said = (receipt.refusal, receipt.incidents)
        assert said == (known.refusal, known.incidents), f"answered otherwise: {known}, {receipt}"


@dataclass
class Crowd:
    world: World
    people: dict[str, Person]
    answers: Answers = field(default_factory=Answers)
    revoked: set[UUID] = field(default_factory=set)
    trimmed: bool = False

    @classmethod
    def of(cls, world: World) -> "Crowd":
        hands = {name: world.hands[name] for name in NAMES}
        return cls(world, {n: Person(n, h, WatchedPhone(h)) for n, h in hands.items()})

    @property
    def practices(self) -> set[UUID]:
        return {person.hand.device.practice_id for person in self.people.values()}
