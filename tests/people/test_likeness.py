"""One person entered on two phones is told to a person, once, and only within the practice."""

import json
from collections.abc import Callable
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.core.management import call_command
from hypothesis import example, given
from hypothesis import strategies as st

from heelwright.commandlog.wire import Receipt
from heelwright.people.models import Client, ClientLikeness
from heelwright.people.rules import NO_NAMES, likeness
from tests.factories import client_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of

VECTORS = json.loads((Path(__file__).parent / "likeness.json").read_text())
BORN = "1944-03-01"


@pytest.mark.parametrize(("one", "other"), VECTORS["same"])
def test_names_that_may_be_one_persons(one: str, other: str) -> None:
    assert likeness(one, BORN) & likeness(other, BORN)
    assert not likeness(one, BORN) & likeness(other, "1944-03-02")


@pytest.mark.parametrize(("one", "other"), VECTORS["different"])
def test_names_that_are_not(one: str, other: str) -> None:
    assert not likeness(one, BORN) & likeness(other, BORN)


@given(st.text(), st.dates())
def test_every_name_has_a_mark_whatever_is_typed(name: str, born: date) -> None:
    marks = likeness(name, born.isoformat())
    assert marks
    assert all(mark.startswith(f"{born.isoformat()} ") for mark in marks)


words = st.text(st.characters(categories=["Ll"]), min_size=2, max_size=12)


@example(["\N{LATIN SMALL LETTER L WITH MIDDLE DOT}a"])
@given(st.lists(words.filter(lambda w: w not in NO_NAMES), min_size=1, max_size=4))
def test_order_and_what_stands_beside_a_name_say_nothing(name: list[str]) -> None:
    marks = likeness(" ".join(name), BORN)
    assert likeness(", ".join(reversed(name)), BORN) == marks
    assert likeness(" ".join(["Mrs.", *name, "Jr"]), BORN) == marks


def told(hand: Hand) -> list[dict[str, Any]]:
    incidents = fresh(hand).of("incident").values()
    return [i for i in incidents if i["code"] == "client_entered_twice"]


def test_entered_on_two_phones(world: World) -> None:
    """By whoever has both cards."""
    first = world.owner.register(name="Ana Novak", born=BORN)
    world.owner.do("assign_client", {"client": first, "staff": world.technician.id})
    second = world.technician.register(name="NOVAK, Anna", born=BORN)
    (incident,) = told(world.owner)
    assert (incident["client"], incident["about"], incident["about_id"], incident["reasons"]) == (
        second, "client", second, [first],
    )  # fmt: skip
    assert told(world.technician) == [incident]
    assert told(world.colleague) == told(world.coordinator) == []


def amended(hand: Hand, client: str) -> Receipt:
    changes = {"name": "Ana Novak", "born": BORN}
    return hand.do("amend_client", {"client": client, "seen": 10_000, "changes": changes})


def registered(hand: Hand, _: str) -> Receipt:
    return hand.do("register_client", client_args(name="Ana Novak", born=BORN))


@pytest.mark.parametrize("tried", [registered, amended])
def test_nobody_tries_whether_somebody_is_a_colleagues_client(
    world: World, tried: Callable[[Hand, str], Receipt]
) -> None:
    """The owner is told, and by whose entry; who entered it gets the same as for a new person."""
    hand = world.colleague
    own = hand.register(name="Somebody Else", born=BORN)
    known = world.technician.register(name="Ana Novak", born=BORN)
    phone = fresh(hand)
    receipt = tried(hand, own)
    assert receipt.incidents == []
    assert told(hand) == told(world.technician) == []
    assert known not in str(phone.sync().rows)
    (incident,) = told(world.owner)
    assert (incident["staff"], incident["reasons"]) == (hand.id, [known])


def test_a_pair_is_told_once_whichever_is_changed(world: World) -> None:
    first = world.technician.register(name="Ana Novak", born=BORN)
    second = world.technician.register(name="Ana Novak", born=BORN)
    for client in (first, second):
        changes = {"client": client, "seen": 10_000, "changes": {"name": "Ana Nováková"}}
        world.technician.do("amend_client", changes)
    assert len(told(world.owner)) == 1


def test_a_third_is_told_of_both(world: World) -> None:
    known = {world.technician.register(name="Ana Novak", born=BORN) for _ in range(2)}
    third = world.technician.register(name="Ana Novak", born=BORN)
    about_third = [i for i in told(world.owner) if i["about_id"] == third]
    assert {i["reasons"][0] for i in about_third} == known
    assert len(told(world.owner)) == 3


def test_a_corrected_card_is_compared(world: World) -> None:
    world.technician.register(name="Ana Novak", born=BORN)
    other = world.technician.register(name="Ana Novak", born="1945-03-01")
    assert told(world.owner) == []
    world.technician.do("amend_client", {"client": other, "seen": 0, "changes": {"phone": "1"}})
    assert told(world.owner) == []
    world.technician.do("amend_client", {"client": other, "seen": 0, "changes": {"born": BORN}})
    assert [i["about_id"] for i in told(world.owner)] == [other]


def test_practices_have_no_mark_in_common(world: World) -> None:
    world.technician.register(name="Ana Novak", born=BORN)
    world.stranger.register(name="Ana Novak", born=BORN)
    assert told(world.owner) == told(world.stranger) == []
    marks = [bytes(m) for m in ClientLikeness.objects.values_list("mark", flat=True)]
    assert len(set(marks)) == len(marks)


def test_marks_tell_nothing(world: World) -> None:
    client = world.technician.register(name="Ana Novak", born=BORN)
    marks = [bytes(kept.mark) for kept in ClientLikeness.objects.filter(client=UUID(client))]
    assert len(marks) == 2
    for mark in marks:
        assert len(mark) == 32
        assert b"novak" not in mark.lower()


def test_a_refused_card_leaves_no_mark(world: World) -> None:
    before = ClientLikeness.objects.count()
    world.technician.no("register_client", client_args(born="2999-01-01"))
    world.technician.no("register_client", client_args(client=world.client))
    assert ClientLikeness.objects.count() == before


def test_the_same_registration_again_is_no_second_person(world: World) -> None:
    hand = phone_of(world.technician.staff, world.now)
    envelope = hand.envelope("register_client", client_args(name="Ana Novak", born=BORN))
    hand.deliver(envelope)
    hand.deliver(envelope)
    assert told(world.owner) == []
    assert Client.objects.filter(pk=envelope.args["client"]).count() == 1


def test_cards_from_before_are_compared_by_the_servers_keeper(world: World) -> None:
    first = world.technician.register(name="Ana Novak", born=BORN)
    ClientLikeness.objects.all().delete()
    second = world.technician.register(name="Ana Novak", born=BORN)
    assert told(world.owner) == []
    phone = fresh(world.owner)
    call_command("clients_compare", stdout=(said := StringIO()))
    assert "pairs told of now: 1" in said.getvalue()
    (incident,) = told(world.owner)
    assert {incident["about_id"], *incident["reasons"]} == {first, second}
    assert phone.sync().rows == fresh(world.owner).rows
    call_command("clients_compare", stdout=(said := StringIO()))
    assert "pairs told of now: 0" in said.getvalue()
    assert len(told(world.owner)) == 1
