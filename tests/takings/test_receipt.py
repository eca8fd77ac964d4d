"""A receipt as PDF, in the languages of letters. Sums by hand; what it holds is common practice, no
source."""

from typing import Any

import pytest
from django.test import Client as Browser

from tests.documents.papers import words_of
from tests.factories import payment_args
from tests.takings.test_sales import sold
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def asked(hand: Hand, sale: str, name: str = "receipt") -> Any:
    headers = {"Authorization": f"Bearer {hand.token}"}
    return Browser().get(f"/api/documents/{name}/{sale}", headers=headers)


def test_it_says_what_was_paid_and_names_nobody(world: World) -> None:
    hand = world.technician
    client = hand.register(name="Nobody Knowsthis")
    sale = sold(hand, client=client)
    found = words_of(asked(hand, sale).content)
    assert "Foot care at home £38.00" in found
    assert "2 \N{MULTIPLICATION SIGN} Foot cream (£1.00 off) £18.00" in found
    assert "Total £56.00" in found
    assert "Tax of 20 % in it: £3.00" in found
    assert "How it was paid: in cash" in found
    assert sale.replace("-", "")[-8:].upper() in found
    assert "Nobody" not in found


def test_it_comes_in_spanish(world: World) -> None:
    found = words_of(asked(world.owner, sold(world.technician), "receipt_es").content)
    assert "Recibo" in found
    assert "Impuesto del 20 % incluido: £3.00" in found


def test_what_came_in_later_and_what_is_due(world: World) -> None:
    hand = world.technician
    sale = sold(hand, day="2026-03-02", paid="not_yet")
    assert "How it was paid: not paid yet; Still to pay: £56.00" in words_of(
        asked(hand, sale).content
    )
    paid = payment_args(sale=sale, day="2026-03-09", amount="50.00")
    hand.do("record_payment", paid)
    found = words_of(asked(hand, sale).content)
    assert "9 March 2026: £50.00, by bank transfer; Still to pay: £6.00" in found
    assert "not paid yet" not in found


def test_there_is_none_of_what_was_corrected(world: World) -> None:
    hand = world.technician
    first = sold(hand)
    second = sold(hand, replaces=[first])
    assert asked(hand, first).json()["code"] == "corrected"
    assert asked(hand, second).status_code == 200
    gone = sold(hand, replaces=[second], lines=[])
    assert asked(hand, gone).json()["code"] == "corrected"


def test_nobody_else_gets_it(world: World) -> None:
    sale = sold(world.technician)
    for hand in (world.colleague, world.coordinator, world.stranger):
        assert asked(hand, sale).status_code == 404
