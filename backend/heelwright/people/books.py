"""Which rulebook a practice works by: the shipped one, its place's, and what it adds itself."""

import logging
from functools import lru_cache

from heelwright.rulebook import Book, BookError, book_for
from heelwright.tenancy.models import Practice

logger = logging.getLogger(__name__)


def book_of(practice: Practice) -> Book:
    """Own rules that a later edition of the book does not fit any more are left out: what is
    shipped still judges. `own_rules_fault` tells the owner."""
    return _in_force(practice.place or None, practice.own_rules)[0]


def own_rules_fault(practice: Practice) -> str:
    """Why the practice's own rules are not in force; empty where they are."""
    return _in_force(practice.place or None, practice.own_rules)[1]


# Where shops tell prices without the sales tax. From memory.
TAX_ON_TOP = ("us", "ca")


def currency_of(practice: Practice) -> str:
    """The owner's choice, else that of the place's tax office; "" where neither is known."""
    tax = book_of(practice).content.tax
    return practice.currency or (tax.currency if tax else "")


def tax_is_on_top(practice: Practice) -> bool:
    chosen = practice.tax_on_top
    return practice.place in TAX_ON_TOP if chosen is None else chosen


@lru_cache(maxsize=256)
def _in_force(place: str | None, own: str) -> tuple[Book, str]:
    try:
        return book_for(place, own), ""
    except BookError as fault:
        # Nothing of what somebody wrote goes into a log, the cause with it.
        logger.error("own rules of a practice do not fit this edition")  # noqa: TRY400
        return book_for(place), f"{fault.entry}: {fault.text}. {fault.remedy}"
