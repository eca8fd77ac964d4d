"""The price list and the practice's currency: who sets them, and what is refused. Common practice,
no source; the currencies by ISO 4217, from memory."""

import pytest

from heelwright.tenancy.models import Practice
from tests.factories import ident, item_args, price_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World, phone_of

pytestmark = pytest.mark.django_db


def currency_seen(hand: Hand) -> tuple[str, bool]:
    [row] = fresh(hand).of("practice").values()
    return row["currency"], row["tax_on_top"]


def test_the_currency_is_the_places_own_until_the_owner_sets_one(world: World) -> None:
    assert currency_seen(world.technician) == ("", False)
    Practice.objects.filter(pk=world.practice.pk).update(place="us")
    assert currency_seen(world.technician) == ("USD", True)
    world.owner.do("set_money", {"currency": "EUR", "tax_on_top": False})
    assert currency_seen(world.technician) == ("EUR", False)


def test_a_currency_that_nobody_uses_is_refused(world: World) -> None:
    refusal = world.owner.send("set_money", {"currency": "ABC", "tax_on_top": False}).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("not_a_currency", "currency")
    assert world.technician.no("set_money", {"currency": "EUR", "tax_on_top": False}) == (
        "not_allowed"
    )


def listed(owner: Hand, **more: object) -> str:
    item = item_args(**more)
    owner.do("set_price_item", item)
    return str(item["item"])


def test_technicians_read_the_list_and_coordinators_do_not(world: World) -> None:
    item = listed(world.owner)
    world.owner.do("set_price", price_args(item=item, amount="38.00", tax="8.875"))
    for hand in (world.owner, world.technician):
        [row] = fresh(hand).of("price_item").values()
        [price] = row["prices"]
        assert (price["amount"], price["tax"], price["facility"]) == ("38.00", "8.875", None)
    for hand in (world.coordinator, world.stranger):
        assert not fresh(hand).of("price_item")


def test_a_later_price_stands_beside_the_earlier(world: World) -> None:
    item = listed(world.owner)
    for amount in ("38.00", "41.00"):
        world.owner.do("set_price", price_args(item=item, amount=amount))
    [row] = fresh(world.technician).of("price_item").values()
    assert [price["amount"] for price in row["prices"]] == ["38.00", "41.00"]


@pytest.mark.parametrize(
    ("amount", "currency"), [("38", "GBP"), ("38.000", "GBP"), ("38.5", "JPY"), ("38.50", "KWD")]
)
def test_an_amount_has_the_decimals_of_its_currency(
    world: World, amount: str, currency: str
) -> None:
    args = price_args(item=listed(world.owner), amount=amount, currency=currency)
    assert world.owner.no("set_price", args) == "wrong_places"


@pytest.mark.parametrize(("amount", "currency"), [("3800", "JPY"), ("38.500", "KWD")])
def test_currencies_without_minor_units_and_with_thousandths(
    world: World, amount: str, currency: str
) -> None:
    item = listed(world.owner)
    world.owner.do("set_price", price_args(item=item, amount=amount, currency=currency))
    [row] = fresh(world.technician).of("price_item").values()
    assert row["prices"][0]["amount"] == amount


def test_only_a_facility_can_have_no_price_of_its_own(world: World) -> None:
    args = price_args(item=listed(world.owner), amount=None)
    refusal = world.owner.send("set_price", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("missing_field", "amount")
    world.owner.do("set_price", args | {"facility": str(world.facility)})


def test_a_change_of_an_entry_that_another_phone_changed_is_refused(world: World) -> None:
    item = listed(world.owner)
    other = phone_of(world.owner.staff, world.owner.now)
    other.do("set_price_item", item_args(item=item, seen=10**6, name="Foot care"))
    assert world.owner.no("set_price_item", item_args(item=item, seen=0)) == "changed_elsewhere"
    assert world.owner.no("set_price_item", item_args(item=item)) == "changed_elsewhere"


def test_a_price_of_what_is_not_on_the_list(world: World) -> None:
    assert world.owner.no("set_price", price_args(item=ident())) == "not_found"
