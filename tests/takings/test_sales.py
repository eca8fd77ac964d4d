"""Sales, what came in for them later, and the bag: who tells of them, who sees them, and what stays
when a client goes. Common practice, no source."""

from typing import Any

import pytest

from heelwright.commandlog.models import LoggedArgs
from heelwright.takings.models import Sale, SoldTo
from tests.factories import ident, item_args, payment_args, sale_args
from tests.sync.phone_model import fresh
from tests.world import Hand, World

pytestmark = pytest.mark.django_db


def rows_of(hand: Hand, kind: str) -> dict[str, Any]:
    return {str(id_): row for id_, row in fresh(hand).of(kind).items()}


def sold(hand: Hand, **more: object) -> str:
    args = sale_args(**{"day": hand.day(), **more})
    hand.do("record_sale", args)
    return str(args["sale"])


def test_whoever_told_of_it_and_the_owner_see_it(world: World) -> None:
    sale = sold(world.technician, client=world.client)
    for hand in (world.technician, world.owner):
        assert rows_of(hand, "sale")[sale]["lines"][1]["discount"] == "1.00"
        assert rows_of(hand, "sold_to")[sale]["client"] == world.client
    for hand in (world.colleague, world.coordinator, world.stranger):
        assert not rows_of(hand, "sale")
        assert not rows_of(hand, "sold_to")


def test_the_sale_names_no_client_and_neither_does_its_part_of_the_log(world: World) -> None:
    """It outlives the client's key, by which all that names them is sealed."""
    sale = sold(world.technician, client=world.client)
    kept = {field.attname: getattr(Sale.objects.get(pk=sale), field.attname)
            for field in Sale._meta.fields}  # fmt: skip
    assert world.client not in str(kept)
    assert str(SoldTo.objects.get(pk=sale).client_id) == world.client
    logged = LoggedArgs.objects.filter(
        command__name="record_sale", command__practice=world.practice
    )
    parts = {str(part.subject): part.sealed for part in logged}
    assert set(parts) == {str(world.practice.pk), world.client}
    assert world.client not in str(parts[str(world.practice.pk)])
    assert "38.00" in str(parts[str(world.practice.pk)])


def test_a_second_card_of_a_client_hands_its_sales_over(world: World) -> None:
    other = world.technician.register(name="The same again")
    sale = sold(world.technician, client=other)
    world.owner.do("merge_clients", {"stays": world.client, "goes": other})
    assert rows_of(world.owner, "sold_to")[sale]["client"] == world.client


def test_a_correction_stands_beside_what_it_corrects(world: World) -> None:
    hand = world.technician
    first = sold(hand)
    second = sold(hand, replaces=[first], lines=[])
    rows = rows_of(hand, "sale")
    assert [str(one) for one in rows[second]["replaces"]] == [first]
    assert len(rows[first]["lines"]) == 2


def test_nobody_replaces_what_another_one_told(world: World) -> None:
    theirs = sold(world.technician)
    args = sale_args(day=world.owner.day(), replaces=[theirs])
    assert world.owner.no("record_sale", args) == "not_found"


@pytest.mark.parametrize(
    ("wrong", "code"),
    [
        ({"lines": []}, "missing_field"),
        ({"currency": "JPY"}, "wrong_places"),
        ({"currency": "ABC"}, "not_a_currency"),
        ({"paid": "goodwill"}, "wrong_type"),
    ],
)
def test_what_cannot_be_understood(world: World, wrong: dict[str, Any], code: str) -> None:
    args = sale_args(day=world.technician.day()) | wrong
    assert world.technician.no("record_sale", args) == code


def test_a_discount_is_not_more_than_the_price(world: World) -> None:
    args = sale_args(day=world.technician.day())
    args["lines"][0] |= {"discount": "38.01"}
    refusal = world.technician.send("record_sale", args).refusal
    assert refusal is not None
    assert (refusal.code, refusal.field) == ("discount_too_large", "lines.0.discount")
    args["lines"][0] |= {"discount": "38.00"}
    world.technician.do("record_sale", args)


def test_nothing_replaces_itself(world: World) -> None:
    """It would be told, and stand nowhere."""
    hand, day = world.technician, world.technician.day()
    sale, payment = ident(), ident()
    for name, args in (
        ("record_sale", sale_args(sale=sale, day=day, replaces=[sale])),
        ("record_payment", payment_args(payment=payment, sale=sale, day=day, replaces=[payment])),
    ):
        refusal = hand.send(name, args).refusal
        assert refusal is not None
        assert (refusal.code, refusal.field) == ("replaces_itself", "replaces")


@pytest.mark.parametrize("through", [0, 1, 3])
def test_no_two_of_them_replace_each_other(world: World, through: int) -> None:
    """Told of before it is made, a sale would take away what takes it away; so would a payment."""
    hand, day = world.technician, world.technician.day()
    late, sale = ident(), sold(hand, paid="not_yet")
    last = sold(hand, replaces=[late])
    for _ in range(through):
        last = sold(hand, replaces=[last])
    paid = payment_args(sale=sale, day=day, replaces=[(late_payment := ident())])
    hand.do("record_payment", paid)
    for name, args in (
        ("record_sale", sale_args(sale=late, day=day, replaces=[last])),
        (
            "record_payment",
            payment_args(payment=late_payment, sale=sale, day=day, replaces=[paid["payment"]]),
        ),
    ):
        refusal = hand.send(name, args).refusal
        assert refusal is not None
        assert (refusal.code, refusal.field) == ("replaces_itself", "replaces")
    assert late not in rows_of(hand, "sale")
    # It may come late, where it replaces nothing of these.
    hand.do("record_sale", sale_args(sale=late, day=day, replaces=[sale]))


def test_the_owner_tells_of_a_payment_and_the_technician_sees_it(world: World) -> None:
    sale = sold(world.technician, paid="not_yet")
    paid = payment_args(sale=sale, day=world.owner.day())
    world.owner.do("record_payment", paid)
    [row] = rows_of(world.technician, "payment").values()
    assert (row["amount"], row["way"], str(row["sale"])) == ("56.00", "transfer", sale)
    assert not rows_of(world.colleague, "payment")
    assert world.colleague.no("record_payment", paid | {"payment": ident()}) == "not_found"


def test_a_payment_has_the_decimals_of_its_sale(world: World) -> None:
    sale = sold(world.technician, paid="not_yet")
    args = payment_args(sale=sale, day=world.technician.day(), amount="56")
    assert world.technician.no("record_payment", args) == "wrong_places"


def test_a_bag_is_ones_own(world: World) -> None:
    item = item_args(kind="product", name="Foot cream")
    world.owner.do("set_price_item", item)
    change = {"change": ident(), "item": item["item"], "what": "taken", "by": 6}
    world.technician.do("change_bag", change)
    [row] = rows_of(world.technician, "bag_change").values()
    assert (row["what"], row["by"]) == ("taken", 6)
    assert len(rows_of(world.owner, "bag_change")) == 1
    assert not rows_of(world.colleague, "bag_change")
