"""What is told of sales, of what came in for them later, and of the products in the bag."""

from decimal import Decimal
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.replacing import no_ring
from heelwright.declarations import Power, Refused, Role
from heelwright.money import places
from heelwright.people.access import client_for, facility_for
from heelwright.takings.arguments import ChangeBag, RecordPayment, RecordSale
from heelwright.takings.finding import item_for
from heelwright.takings.models import BagChange, Payment, Sale, SoldTo


@command(Power.REPORT, RecordSale)
def record_sale(act: Act, args: RecordSale) -> None:
    client = client_for(act, args.client) if args.client else None
    facility = facility_for(act, args.facility) if args.facility else None
    fresh_id(Sale, args.sale, "sale")
    if Sale.objects.filter(pk__in=args.replaces).exclude(staff=act.staff).exists():
        raise _not_yours("replaces")
    no_ring(act, Sale, args.sale, args.replaces)
    act.put(
        Sale(
            id=args.sale,
            practice=act.practice,
            staff=act.staff,
            facility=facility,
            visit=args.visit,
            day=act.day_told(args.day, "day"),
            currency=args.currency,
            tax_on_top=args.tax_on_top,
            lines=[line.model_dump(mode="json") for line in args.lines],
            paid=args.paid,
            beside=_in_order(args.beside),
            replaces=_in_order(args.replaces),
            told_at=act.by_now(act.made_at),
        )
    )
    if client is not None:
        act.put(SoldTo(id=args.sale, practice=act.practice, client=client))
        rest = args.model_dump(mode="json", exclude={"client"})
        act.log_apart(rest, {client.pk: {"sale": str(args.sale), "client": str(args.client)}})


@command(Power.REPORT, RecordPayment)
def record_payment(act: Act, args: RecordPayment) -> None:
    sales = Sale.objects.filter(practice=act.practice, pk=args.sale)
    sale = (sales if act.role is Role.OWNER else sales.filter(staff=act.staff)).first()
    if sale is None:
        raise _not_yours("sale")
    fresh_id(Payment, args.payment, "payment")
    if Payment.objects.filter(pk__in=args.replaces).exclude(sale=sale).exists():
        raise _not_yours("replaces")
    no_ring(act, Payment, args.payment, args.replaces)
    if len(args.amount.partition(".")[2]) != places(sale.currency):
        raise Refused(
            "wrong_places",
            "The amount has more or fewer decimals than its currency.",
            "Enter the amount again.",
            field="amount",
        )
    act.put(
        Payment(
            id=args.payment,
            practice=act.practice,
            staff=act.staff,
            sale=sale,
            day=act.day_told(args.day, "day"),
            amount=Decimal(args.amount),
            way=args.way,
            beside=_in_order(args.beside),
            replaces=_in_order(args.replaces),
            told_at=act.by_now(act.made_at),
        )
    )


@command(Power.REPORT, ChangeBag)
def change_bag(act: Act, args: ChangeBag) -> None:
    item = item_for(act, args.item)
    fresh_id(BagChange, args.change, "change")
    act.put(
        BagChange(
            id=args.change,
            practice=act.practice,
            staff=act.staff,
            item=item,
            what=args.what,
            by=args.by,
            told_at=act.by_now(act.made_at),
        )
    )


def _in_order(ids: list[UUID]) -> list[str]:
    return sorted(str(one) for one in ids)


def _not_yours(field: str) -> Refused:
    return Refused("not_found", "This sale is not one of yours.", "Sync, look again.", field)
