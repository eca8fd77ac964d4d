"""Cards registered, changed and made one in any order, on two phones that are often without signal.

Whatever happens, each record that was accepted is under exactly one living client, the one that the
merges lead to, and every phone agrees with the server. Common practice, no source.
"""

import copy
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heelwright import evidence
from heelwright.commandlog.wire import Envelope
from heelwright.intake.models import HealthScreen
from heelwright.people.models import Client, ClientLikeness
from heelwright.schedule.models import Booking
from tests.factories import booking_args, client_args, screen_args
from tests.run_length import runs
from tests.sync.phone_model import PhoneModel, fresh
from tests.world import Hand, World

NAMES = ("Ana Novak", "Novak Ana", "Bo Horvat")
BORN = ("1944-03-01", "1950-01-02")

phone = st.sampled_from(["owner", "technician"])
which = st.integers(0, 30)
card = st.fixed_dictionaries({"name": st.sampled_from(NAMES), "born": st.sampled_from(BORN)})
change = st.one_of(
    card,
    st.fixed_dictionaries({"phone": st.sampled_from(["", "1", "2"])}),
    st.fixed_dictionaries({"status": st.sampled_from(["active", "in_hospital"])}),
    st.fixed_dictionaries({"note": st.sampled_from(["", "Dog", "Key"])}),
)
step = st.one_of(
    st.tuples(st.just("register"), phone, card, st.booleans()),
    st.tuples(st.just("amend"), phone, which, change),
    st.tuples(st.just("record"), phone, which),
    st.tuples(st.just("book"), phone, which),
    st.tuples(st.just("merge"), which, which),
    st.tuples(st.just("send"), phone),
    st.tuples(st.just("sync"), phone),
)


@dataclass
class Play:
    """What the two phones have done, and what the server has said to it."""

    world: World
    clients: list[str]
    outboxes: dict[str, list[Envelope]] = field(
        default_factory=lambda: {"owner": [], "technician": []}
    )
    accepted: list[Envelope] = field(default_factory=list)
    phones: dict[str, PhoneModel] = field(default_factory=dict)
    leads: dict[str, str] = field(default_factory=dict)

    def hand(self, who: str) -> Hand:
        return self.world.hands[who]

    def client(self, number: int) -> str:
        return self.clients[number % len(self.clients)]

    def issue(self, who: str, name: str, args: dict[str, Any]) -> None:
        self.outboxes[who].append(self.hand(who).envelope(name, args))

    def register(self, who: str, card: dict[str, str], housed: bool) -> None:
        args = client_args(**card, facility=self.world.facility if housed else None)
        self.clients.append(str(args["client"]))
        self.issue(who, "register_client", args)

    def amend(self, who: str, number: int, changes: dict[str, str]) -> None:
        client = self.client(number)
        seen = self.phones[who].rows.get(("client", UUID(client)), (None, 0))[1]
        self.issue(who, "amend_client", {"client": client, "seen": seen, "changes": changes})

    def record(self, who: str, number: int) -> None:
        args = screen_args(client=self.client(number), screened_at=self.hand(who).stamp())
        self.issue(who, "record_screen", args)

    def book(self, who: str, number: int) -> None:
        hand, days = self.hand(who), len(self.accepted) + len(self.outboxes[who])
        self.issue(
            who,
            "book_visit",
            booking_args(
                client=self.client(number), staff=hand.id, starts_at=hand.stamp(days=days + 1)
            ),
        )

    def merge(self, stays: int, goes: int) -> None:
        args = {"stays": self.client(stays), "goes": self.client(goes)}
        self.issue("owner", "merge_clients", args)

    def send(self, who: str) -> None:
        sent, self.outboxes[who] = self.outboxes[who], []
        for envelope, receipt in zip(sent, self.hand(who).deliver(*sent), strict=True):
            if receipt.status != "applied":
                continue
            self.accepted.append(envelope)
            if envelope.name == "merge_clients":
                self.leads[envelope.args["goes"]] = envelope.args["stays"]

    def sync(self, who: str) -> None:
        self.send(who)
        self.phones[who].sync()

    def led(self, client: str) -> str:
        while client in self.leads:
            client = self.leads[client]
        return client


def play(world: World, steps: list[tuple[Any, ...]]) -> Play:
    game = Play(world, [world.client, world.resident])
    for who in ("owner", "technician", "coordinator"):
        game.phones[who] = PhoneModel(world.hands[who]).sync()
    for name, *args in steps:
        getattr(game, name)(*args)
    for who in game.outboxes:
        game.send(who)
    for model in game.phones.values():
        model.sync()
    return game


def check(game: Play) -> None:
    living = {str(c.pk) for c in Client.objects.filter(practice=game.world.practice)
              if c.merged_into_id is None}  # fmt: skip
    registered = [e.args["client"] for e in game.accepted if e.name == "register_client"]
    for client in [game.world.client, game.world.resident, *registered]:
        kept = Client.objects.get(pk=client)
        assert str(kept.merged_into_id or kept.pk) == game.led(client)
        assert game.led(client) in living
    for envelope in game.accepted:
        if envelope.name == "record_screen":
            screen = HealthScreen.objects.get(pk=envelope.args["screen"])
            assert str(screen.client_id) == game.led(envelope.args["client"])
            assert screen.answers == envelope.args["answers"]
        if envelope.name == "book_visit":
            booking = Booking.objects.get(pk=envelope.args["booking"])
            assert str(booking.client_id) == game.led(envelope.args["client"])
            assert booking.cancel_reason == ""
    assert not ClientLikeness.objects.exclude(client__merged_into=None).exists()
    for who, model in game.phones.items():
        assert model.rows == fresh(model.hand).rows, who
    cards = fresh(game.world.owner).of("client")
    assert {str(id_) for id_ in cards} == living
    gone = sorted(old for card in cards.values() for old in card["merged"])
    assert gone == sorted(game.leads)
    assert evidence.verify(game.world.practice.pk).stands


@settings(
    max_examples=runs(short=25, long=1000),
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(steps=st.lists(step, max_size=25))
def test_every_record_is_under_one_living_client(
    world: World, steps: list[tuple[Any, ...]]
) -> None:
    with transaction.atomic():
        check(play(copy.deepcopy(world), steps))
        transaction.set_rollback(True)


def test_a_long_play_makes_cards_one_and_records_to_move(world: World) -> None:
    """That the plays above can get there: two merges in a row, with work sent late."""
    steps = [
        ("register", "technician", {"name": "Ana Novak", "born": BORN[0]}, True),
        ("register", "technician", {"name": "Novak Ana", "born": BORN[0]}, False),
        ("sync", "technician"),
        ("record", "technician", 2),
        ("book", "technician", 2),
        ("merge", 3, 2),
        ("merge", 0, 3),
        ("send", "owner"),
        ("amend", "technician", 2, {"note": "Dog"}),
    ]  # fmt: skip
    game = play(world, steps)
    check(game)
    assert len(game.leads) == 2
    assert {e.name for e in game.accepted} >= {"record_screen", "book_visit", "amend_client"}
    assert str(HealthScreen.objects.latest("received_at").client_id) == world.client
