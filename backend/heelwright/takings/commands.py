"""What may change the price list. Sales and invoices are next door."""

from decimal import Decimal

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import Power, Refused
from heelwright.money import places
from heelwright.people.access import facility_for
from heelwright.takings import invoices, sales  # noqa: F401 - declare commands
from heelwright.takings.arguments import SetPrice, SetPriceItem
from heelwright.takings.finding import item_for
from heelwright.takings.models import Price, PriceItem


@command(Power.PERMISSION, SetPriceItem)
def set_price_item(act: Act, args: SetPriceItem) -> None:
    item = PriceItem.objects.filter(practice=act.practice, pk=args.item).first()
    if item is None:
        fresh_id(PriceItem, args.item, "item")
        item = PriceItem(id=args.item, practice=act.practice)
    else:
        still_as_seen(act, item, args.seen, "entry", "item")
    item.kind, item.name = args.kind, args.name
    item.advice, item.given_up = args.advice, args.given_up
    act.put(item)


@command(Power.PERMISSION, SetPrice)
def set_price(act: Act, args: SetPrice) -> None:
    """What was charged before stands: it has its own amounts."""
    item = item_for(act, args.item)
    fresh_id(Price, args.price, "price")
    facility = facility_for(act, args.facility) if args.facility else None
    if args.amount is None and facility is None:
        raise Refused("missing_field", "Something is missing.", "Enter the price.", "amount")
    if args.amount is not None and len(args.amount.partition(".")[2]) != places(args.currency):
        raise Refused(
            "wrong_places",
            "The price has more or fewer decimals than its currency.",
            "Enter the price again.",
            field="amount",
        )
    Price.objects.create(
        id=args.price,
        item=item,
        number=item.prices.count(),
        facility=facility,
        starts=args.starts,
        amount=None if args.amount is None else Decimal(args.amount),
        currency=args.currency,
        tax=Decimal(args.tax),
        staff=act.staff,
        set_at=act.by_now(act.made_at),
    )
    act.announce(item)
