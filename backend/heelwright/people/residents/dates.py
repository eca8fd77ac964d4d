"""Dates of birth as lists write them. No Django.

A list that writes 03/04/1941 does so throughout: whether the day or the month comes first is told
by its dates in which one of them is above 12, else by the practice's place.
"""

import re
from collections.abc import Iterable
from datetime import date
from typing import Literal

Order = Literal["day_first", "month_first"]
ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4})")
DAY_MONTH = re.compile(r"(\d{1,2})(?:[a-z]{2})?[-/. ]+([a-z]{3,9})\.?[-/., ]+(\d{4})")
MONTH_DAY = re.compile(r"([a-z]{3,9})\.? +(\d{1,2})(?:[a-z]{2})?,? +(\d{4})")
SHORT_YEAR = re.compile(
    r"(\d{1,2}[-/. ](\d{1,2}|[a-z]{3,9})\.?[-/., ]+|[a-z]{3,9}\.? +\d{1,2},? +)\d{2}"
)
MONTHS = (
    "january february march april may june july august september october november december".split()
)
MIDNIGHT = re.compile(r"[ t]00:00(:00)?(\.0+)?$")


class NoDate(ValueError):
    """Carries the code of what is wrong."""


def order_in(texts: Iterable[str], otherwise: Order) -> tuple[Order, bool]:
    """Which comes first, and whether the list itself tells; by the greater number where it tells
    both."""
    votes = {"day_first": 0, "month_first": 0}
    for text in texts:
        found = NUMBERS.fullmatch(_plain(text))
        if found:
            votes["day_first"] += int(found[1]) > 12 >= int(found[2])
            votes["month_first"] += int(found[2]) > 12 >= int(found[1])
    if votes["day_first"] == votes["month_first"]:
        return otherwise, False
    return ("day_first" if votes["day_first"] > votes["month_first"] else "month_first"), True


def read_date(text: str, order: Order) -> date:
    """Raises NoDate with the code of what is wrong."""
    plain = _plain(text)
    year, month, day = _parts(plain, order)
    try:
        return date(year, month, day)
    except ValueError:
        turned = NUMBERS.fullmatch(plain) and month > 12 >= day
        raise NoDate("date_other_order" if turned else "date_not_there") from None


def _plain(text: str) -> str:
    return MIDNIGHT.sub("", " ".join(text.casefold().split()))


def _parts(plain: str, order: Order) -> tuple[int, int, int]:
    if found := ISO.fullmatch(plain):
        return int(found[1]), int(found[2]), int(found[3])
    if found := NUMBERS.fullmatch(plain):
        one, two, year = (int(part) for part in found.groups())
        return (year, two, one) if order == "day_first" else (year, one, two)
    if found := DAY_MONTH.fullmatch(plain):
        return int(found[3]), _month(found[2]), int(found[1])
    if found := MONTH_DAY.fullmatch(plain):
        return int(found[3]), _month(found[1]), int(found[2])
    if plain.replace(".", "", 1).isdecimal():
        raise NoDate("date_a_number")
    raise NoDate("date_short_year" if SHORT_YEAR.fullmatch(plain) else "date_unreadable")


def _month(name: str) -> int:
    for number, month in enumerate(MONTHS, 1):
        if month.startswith(name) or name == "sept" == month[:4]:
            return number
    raise NoDate("date_unreadable")
