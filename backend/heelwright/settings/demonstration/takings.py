"""The price list of the invented practice, and what it took in the last month."""

from datetime import date, time, timedelta
from itertools import cycle
from typing import Any
from uuid import UUID

from heelwright.settings.demonstration.course import World
from heelwright.settings.demonstration.log import Sent

SINCE_DAYS = 31
SET_UP, EVENING = time(7, 20), time(19, 5)
CURRENCY = "GBP"
# Kind, name, price, tax in it, the advice with which a product goes, and the facilities' own price.
PRICES = {
    "visit": ("service", "Foot care visit", "38.00", "0", "", "24.00"),
    "nails": ("service", "Nails only", "26.00", "0", "", None),
    "cream": ("product", "Quillmere foot cream 10, 100 ml", "9.50", "20", "cream_daily", None),
    "file": ("product", "Foot file", "6.00", "20", "", None),
}
# Those who pay at once do so by these in turn, and each fourth takes cream along.
WAYS = ("cash", "card", "card", "transfer", "cheque")
CREAM_AT, CREAM_EVERY = 1, 4
BEFORE_LAST = -2
DAYS_TO_PAY, FIRST_NUMBER = 30, 101
TAX_NUMBER = "VAT number 000 0000 00 (invented)"
HOW_TO_PAY = "By cheque to the address above (invented)."


def takings(world: World) -> None:
    """After the year and its rounds. The visits of the last day are left to be told. At home one
    day is not paid; facilities pay by invoice."""
    since = world.today - timedelta(days=SINCE_DAYS)
    at = world.diary.at(since, SET_UP)
    told = {"currency": CURRENCY, "tax_on_top": False}
    world.log.say(world.scenario.practice.owner, at, "set_money", **told)
    items = _price_list(world, since)
    visits = [one for one in world.log.sent if one.name == "complete_visit"]
    visits = sorted((one for one in visits if one.at.date() > since), key=lambda sent: sent.at)
    for who in sorted({one.staff for one in visits}):
        for key in ("cream", "file"):
            change = {"change": world.log.new_id(at), "item": items[key]}
            world.log.say(who, at, "change_bag", **change, what="taken", by=12)
    homes = {
        one.args["client"]: one.args.get("facility")
        for one in world.log.sent
        if one.name == "register_client"
    }
    days = sorted({one.at.date() for one in visits})
    at_home = sorted({one.at.date() for one in visits if homes[one.args["client"]] is None})
    ways = cycle(WAYS)
    for number, one in enumerate(one for one in visits if one.at.date() != days[-1]):
        facility = homes[one.args["client"]]
        owed = facility is not None or one.at.date() == at_home[BEFORE_LAST]
        lines = [_line(items, "visit", "24.00" if facility else None)]
        if number % CREAM_EVERY == CREAM_AT:
            lines.append(_line(items, "cream"))
        _sell(world, one, facility, lines, "not_yet" if owed else next(ways))
    _bill_rounds(world)


def _price_list(world: World, since: date) -> dict[str, UUID]:
    owner, at = world.scenario.practice.owner, world.diary.at(since, SET_UP)
    items = {key: world.log.new_id(at) for key in PRICES}
    for key, (kind, name, amount, tax, advice, house) in PRICES.items():
        card = {"seen": None, "kind": kind, "name": name, "advice": advice, "given_up": False}
        world.log.say(owner, at, "set_price_item", item=items[key], **card)
        own = [] if house is None else [(house, id_) for id_ in world.facilities.values()]
        for price, facility in [(amount, None), *own]:
            told = {"facility": facility, "starts": since, "amount": price, "tax": tax}
            told |= {"price": world.log.new_id(at), "item": items[key], "currency": CURRENCY}
            world.log.say(owner, at, "set_price", **told)
    return items


def _sell(
    world: World, done: Sent, facility: UUID | None, lines: list[dict[str, Any]], paid: str
) -> None:
    at = world.diary.at(done.at.date(), EVENING)
    world.log.say(
        done.staff,
        at,
        "record_sale",
        sale=world.log.new_id(at),
        client=done.args["client"],
        facility=facility,
        visit=done.args["visit"],
        day=done.at.date(),
        currency=CURRENCY,
        tax_on_top=False,
        lines=lines,
        paid=paid,
    )


def _line(items: dict[str, UUID], key: str, own: str | None = None) -> dict[str, Any]:
    kind, name, price, tax, _, _ = PRICES[key]
    told = {"item": items[key], "kind": kind, "name": name, "quantity": 1, "tax": tax}
    return told | {"price": own or price, "discount": "0.00"}


def _bill_rounds(world: World) -> None:
    """Those that are closed, the evening after; what else a facility owes can still be billed."""
    practice, sent = world.scenario.practice, world.log.sent
    closed = {one.args["round"] for one in sent if one.name == "close_round"}
    houses = {id_: practice.facilities[key] for key, id_ in world.facilities.items()}
    planned = [one.args for one in sent if one.name == "plan_round"]
    sales = [one.args for one in sent if one.name == "record_sale"]
    for of in (of for of in planned if of["round"] in closed):
        house, day = houses[of["facility"]], of["day"] + timedelta(days=1)
        at = world.diary.at(day, EVENING)
        theirs = [
            one for one in sales if (one["facility"], one["day"]) == (of["facility"], of["day"])
        ]
        told: dict[str, Any] = {"invoice": world.log.new_id(at), "facility": of["facility"]}
        told |= {"sales": [one["sale"] for one in theirs], "day": day, "days": DAYS_TO_PAY}
        told |= {"seller": f"{practice.name}\n{practice.address}\n{TAX_NUMBER}"}
        told |= {"first_number": FIRST_NUMBER}
        told |= {"buyer": f"{house.name}\n{house.address}", "how_to_pay": HOW_TO_PAY}
        world.log.say(practice.owner, at, "issue_invoice", **told)
