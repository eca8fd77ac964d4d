"""Invoices to facilities: issued under the practice's next number, and taken back, never changed.

Whoever writes has the lock of the practice's row, so that no number is given twice or left out.
"""

from collections.abc import Iterable
from uuid import UUID

from django.db.models import Max

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused
from heelwright.people.access import facility_for
from heelwright.people.models import Facility
from heelwright.takings.arguments import IssueInvoice, VoidInvoice
from heelwright.takings.models import Invoice, Payment, Sale
from heelwright.takings.reading import payment_told, sale_told
from heelwright.takings.rules.invoices import states
from heelwright.tenancy.models import Practice

# Why a sale can't be billed, and what to do.
UNFIT = {
    "corrected": (
        "One of these sales was corrected or taken back since.",
        "Sync, and choose the sales again.",
    ),
    "twice": (
        "One of these sales was entered twice.",
        "Open the sale and say what is right, then bill it.",
    ),
    "billed": (
        "One of these sales stands on another invoice.",
        "Leave it out, or take that invoice back first.",
    ),
    "paid": ("One of these sales was paid, or a part of it was.", "Leave it out."),
}


@command(Power.PERMISSION, IssueInvoice)
def issue_invoice(act: Act, args: IssueInvoice) -> None:
    facility = facility_for(act, args.facility)
    fresh_id(Invoice, args.invoice, "invoice")
    sales = sales_of(act.practice, args.sales)
    _all_fit(act.practice, sales, args.sales, facility)
    given = Invoice.objects.filter(practice=act.practice).aggregate(last=Max("number"))["last"]
    act.put(
        Invoice(
            id=args.invoice,
            practice=act.practice,
            staff=act.staff,
            facility=facility,
            number=args.first_number if given is None else given + 1,
            sales=[str(sale.pk) for sale in sales],
            day=act.day_told(args.day, "day"),
            days=args.days,
            seller=args.seller,
            buyer=args.buyer,
            reference=args.reference,
            how_to_pay=args.how_to_pay,
            told_at=act.by_now(act.made_at),
        )
    )


@command(Power.REPORT, VoidInvoice)
def void_invoice(act: Act, args: VoidInvoice) -> None:
    """Told once more, it stays as it was told first."""
    invoice = Invoice.objects.filter(practice=act.practice, pk=args.invoice).first()
    if invoice is None:
        raise Refused("not_found", "This invoice was not found.", "Sync, look again.", "invoice")
    if invoice.void_on is None:
        invoice.void_on, invoice.void_reason = act.day_told(args.day, "day"), args.reason
        act.put(invoice)


def sales_of(practice: Practice, ids: Iterable[UUID | str]) -> list[Sale]:
    """By their days."""
    return list(Sale.objects.filter(practice=practice, pk__in=list(ids)).order_by("day", "id"))


def on_invoices(practice: Practice) -> dict[str, int]:
    """The number of the invoice, for each sale on one that counts."""
    live = Invoice.objects.filter(practice=practice, void_on=None)
    return {sale: number for sales, number in live.values_list("sales", "number") for sale in sales}


def _all_fit(practice: Practice, sales: list[Sale], asked: list[UUID], house: Facility) -> None:
    if {sale.pk for sale in sales} != set(asked):
        raise Refused(
            "not_found",
            "One of these sales was not found.",
            "Sync, and choose the sales again.",
            field="sales",
        )
    for sale in sales:
        if sale.facility_id != house.pk:
            raise Refused(
                "wrong_facility",
                "One of these sales was not at this facility.",
                "Leave it out, or correct the sale.",
                field="sales",
                about=About("sale", sale.pk),
            )
    if len({(sale.currency, sale.tax_on_top) for sale in sales}) > 1:
        raise Refused(
            "mixed",
            "These sales have more than one currency, or prices with and without tax.",
            "Make an invoice for each.",
            field="sales",
        )
    found = _states(practice, sales)
    for sale in sales:
        # One without lines says that what it replaces was not sold.
        state = found[str(sale.pk)] if sale.lines else "corrected"
        if state != "free":
            text, remedy = UNFIT[state]
            raise Refused(state, text, remedy, field="sales", about=About("sale", sale.pk))


def _states(practice: Practice, sales: list[Sale]) -> dict[str, str]:
    """With all that speaks for or against these sales: those of the same visits, and their
    corrections."""
    visits = [sale.visit for sale in sales if sale.visit]
    beside = Sale.objects.filter(practice=practice, visit__in=visits).values_list("pk", flat=True)
    near = _kin(practice, {sale.pk for sale in sales} | set(beside))
    told_of = [sale_told(sale) for sale in sales_of(practice, near)]
    paid = Payment.objects.filter(practice=practice, sale__in=near).select_related("sale")
    payments = [payment_told(one) for one in paid]
    return dict(states(told_of, payments, on_invoices(practice)))


def _kin(practice: Practice, ids: set[UUID]) -> set[UUID]:
    """They, what they correct, and what corrects them."""
    corrections = Sale.objects.filter(practice=practice).exclude(replaces=[])
    groups = [
        {pk, *(UUID(one) for one in replaces)}
        for pk, replaces in corrections.values_list("pk", "replaces")
    ]
    found, before = set(ids), 0
    while len(found) != before:
        before = len(found)
        for group in groups:
            if group & found:
                found |= group
    return found
