"""By which day an answer to a referral is due. No Django. The twin is `domain/due.ts`.

Working days are Monday to Friday; local holidays are not known here, and come first. The numbers of
days for "days" and "weeks" are our own careful reading, no source.
"""

from datetime import date, timedelta

WORKING_DAYS = {"now": 0, "same_day": 0, "one_working_day": 1, "days": 3, "weeks": 10}


def due_on(made_on: date, within: str) -> date:
    """The last day on which an answer is in time, both in the practice's zone. An urgency that is
    not known is taken for today."""
    day = made_on
    for _ in range(WORKING_DAYS.get(within, 0)):
        day += timedelta(days=1)
        while day.weekday() >= 5:
            day += timedelta(days=1)
    return day
