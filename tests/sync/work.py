"""What the people of a crowd do, chosen by numbers: a small day's work of every kind that can
clash, be refused, or move rows from scope to scope."""

from collections.abc import Callable
from dataclasses import dataclass, field
from uuid import UUID

from heelwright.commandlog.wire import Envelope
from tests.factories import REFERRED, booking_args, client_args, ident, screen_args
from tests.sync.crowd import Crowd, Key, Person


@dataclass
class Work:
    """Makes commands. `disturbed` are clients whose rows may leave somebody's scope, `removed`
    bookings that were taken off the feed: of those no row is asked for."""

    crowd: Crowd
    clients: list[str] = field(default_factory=list)
    bookings: list[str] = field(default_factory=list)
    disturbed: set[str] = field(default_factory=set)
    removed: set[str] = field(default_factory=set)
    # The row that a command makes, for whoever is sure to see it.
    effects: dict[UUID, tuple[str, Key]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        world = self.crowd.world
        self.clients += [world.client, world.resident]

    def make(self, person: Person, number: int) -> Envelope:
        kinds: list[Callable[[Person, int], Envelope]] = [
            self.register, self.register, self.amend, self.screen, self.book, self.cancel,
            self.give, self.take, self.merge, self.nonsense,
        ]  # fmt: skip
        return kinds[number % len(kinds)](person, number // len(kinds))

    def client(self, number: int) -> str:
        return self.clients[number % len(self.clients)]

    def register(self, person: Person, number: int) -> Envelope:
        home = self.crowd.world.facility if number % 3 == 0 else None
        args = client_args(facility=home)
        self.clients.append(str(args["client"]))
        made = person.make("register_client", args)
        self.effects[made.id] = (str(args["client"]), ("client", UUID(args["client"])))
        return made

    def amend(self, person: Person, number: int) -> Envelope:
        changes = {("phone", "note", "address")[number % 3]: f"changed {number}"}
        args = {"client": self.client(number), "seen": 0, "changes": changes}
        return person.make("amend_client", args)

    def screen(self, person: Person, number: int) -> Envelope:
        client = self.client(number)
        answers = {"answers": REFERRED, "shown_outcome": "go"} if number % 2 else {}
        args = screen_args(client=client, screened_at=person.hand.stamp(), **answers)
        made = person.make("record_screen", args)
        if person.name == "owner":
            self.effects[made.id] = (client, ("health_screen", UUID(args["screen"])))
        return made

    def book(self, person: Person, number: int) -> Envelope:
        client, starts_at = self.client(number), person.hand.stamp(days=1 + number % 4)
        args = booking_args(client=client, staff=self.staff(number), starts_at=starts_at)
        self.bookings.append(str(args["booking"]))
        made = person.make("book_visit", args)
        if person.name == "owner":
            self.effects[made.id] = (str(args["booking"]), ("booking", UUID(args["booking"])))
        return made

    def cancel(self, person: Person, number: int) -> Envelope:
        booking = self.bookings[number % len(self.bookings)] if self.bookings else ident()
        return person.make("cancel_booking", {"booking": booking, "seen": 0, "reason": "ill"})

    def give(self, person: Person, number: int) -> Envelope:
        args = {"client": self.client(number), "staff": self.staff(number // 7)}
        return person.make("assign_client", args)

    def take(self, person: Person, number: int) -> Envelope:
        args = {"client": self.client(number), "staff": self.staff(number // 7)}
        self.disturbed.add(args["client"])
        return person.make("unassign_client", args)

    def merge(self, person: Person, number: int) -> Envelope:
        args = {"stays": self.client(number), "goes": self.client(number + 1)}
        self.disturbed |= set(args.values())
        return person.make("merge_clients", args)

    def nonsense(self, person: Person, number: int) -> Envelope:
        wrong = (
            ("register_client", client_args(name="")),
            ("register_client", client_args(client=self.client(number))),
            ("record_screen", screen_args(client=ident(), screened_at=person.hand.stamp())),
            ("invent_things", {"what": "was typed"}),
        )
        return person.make(*wrong[number % len(wrong)])

    def staff(self, number: int) -> str:
        names = ("technician", "colleague", "coordinator")
        return self.crowd.people[names[number % len(names)]].hand.id
