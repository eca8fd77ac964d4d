"""Which of what was told of money stands, what stands twice, and what was received."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Protocol, TypeVar


class Told(Protocol):
    """`about` is the visit or the sale that it is about, `replaces` what it corrects, `beside` what
    else of that the phone knew and meant to add to."""

    @property
    def id(self) -> str: ...
    @property
    def about(self) -> str | None: ...
    @property
    def beside(self) -> Sequence[str]: ...
    @property
    def replaces(self) -> Sequence[str]: ...


T = TypeVar("T", bound=Told)


@dataclass(frozen=True)
class Sale:
    id: str
    about: str | None
    day: date
    paid: str
    total: Decimal
    beside: tuple[str, ...] = ()
    replaces: tuple[str, ...] = ()


@dataclass(frozen=True)
class Payment:
    """`about` is the sale that was paid later."""

    id: str
    about: str
    day: date
    way: str
    amount: Decimal
    beside: tuple[str, ...] = ()
    replaces: tuple[str, ...] = ()


def standing(told: Iterable[T]) -> list[T]:
    """Those that no other one replaces."""
    known = list(told)
    gone = {id_ for one in known for id_ in one.replaces}
    return [one for one in known if one.id not in gone]


def twice(told: Sequence[T]) -> set[str]:
    """Those that stand for one thing, neither knowing of the other: two phones told of it, and a
    person must say which is right, or that both are. Nothing of them is added up."""
    by_id = {one.id: one for one in told}
    stand = [one for one in standing(told) if one.about is not None]
    found: set[str] = set()
    for one in stand:
        for other in stand:
            if one.id < other.id and one.about == other.about:
                names, others = names_of(one, by_id), names_of(other, by_id)
                if not (names & set(other.beside) or others & set(one.beside)):
                    found |= {one.id, other.id}
    return found


def names_of(one: Told, by_id: dict[str, T]) -> set[str]:
    """Itself and whatever it corrects, the first told included."""
    names, left = {one.id}, list(one.replaces)
    while left:
        name = left.pop()
        if name not in names:
            names.add(name)
            if name in by_id:
                left += by_id[name].replaces
    return names


@dataclass
class Books:
    """`received` as (day, way, amount), in the order of days; `unpaid` what is due for each sale,
    less than nothing where more was paid; `doubled` the sales and payments that stand twice."""

    received: list[tuple[date, str, Decimal]]
    unpaid: dict[str, Decimal]
    doubled: set[str]


def books(sales: Sequence[Sale], payments: Sequence[Payment]) -> Books:
    """A payment for a sale that was corrected counts for what stands for it now."""
    doubled = twice(sales) | twice(payments)
    by_id = {sale.id: sale for sale in sales}
    received: list[tuple[date, str, Decimal]] = []
    unpaid: dict[str, Decimal] = {}
    now: dict[str, str] = {}
    for sale in standing(sales):
        now |= dict.fromkeys(names_of(sale, by_id), sale.id)
        if sale.id in doubled:
            continue
        if sale.paid == "not_yet":
            unpaid[sale.id] = sale.total
        elif sale.total:
            received.append((sale.day, sale.paid, sale.total))
    for payment in standing(payments):
        if payment.id in doubled:
            continue
        received.append((payment.day, payment.way, payment.amount))
        sale_id = now.get(payment.about)
        if sale_id is not None and sale_id not in doubled:
            unpaid[sale_id] = unpaid.get(sale_id, Decimal(0)) - payment.amount
    left = {sale_id: due for sale_id, due in unpaid.items() if due}
    return Books(sorted(received), left, doubled)
