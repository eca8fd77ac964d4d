"""The days of a log, as they stand in an address."""

import re
from datetime import date

from heelwright.declarations import Days, Refused

# Five years, with two days that leap years add.
MOST_DAYS = 5 * 365 + 2


def days(first: str, last: str) -> Days:
    """From `from` and `to`; raises Refused, which names the one to change."""
    span = Days(_day(first, "from"), _day(last, "to"))
    if span.first > span.last:
        raise Refused(
            "days_turned",
            "The first day is after the last one.",
            "Choose a first day that is not after the last one.",
            "from",
        )
    if (span.last - span.first).days + 1 > MOST_DAYS:
        raise Refused(
            "too_many_days",
            "These are more than 5 years.",
            "Ask for 5 years or less at once.",
            "to",
        )
    return span


def _day(text: str, field: str) -> date:
    try:
        # Python reads weeks and days without hyphens as well.
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            return date.fromisoformat(text)
    except ValueError:
        pass
    raise Refused("not_a_day", "This is not a day.", "Write it as 2026-03-31.", field)
