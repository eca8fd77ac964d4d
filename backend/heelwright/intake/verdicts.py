"""What clinicians' answers to a referral come to. No Django. The twin is `domain/verdicts.ts`."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Verdict = Literal["may", "may_with_conditions", "may_not"]
# What lets the work go on, once the client is asked anew. Anything else is a no.
FREEING = {"may", "may_with_conditions"}


@dataclass(frozen=True)
class AnswerFact:
    """What a clinician said of a referral: on which day, when it came on record, and when it was
    written down, where that was earlier."""

    answered_on: date
    recorded_at: datetime
    verdict: str
    written_at: datetime | None = None


def released_at(answers: Iterable[AnswerFact]) -> datetime | None:
    """When a referral let the client go, or None while it does not."""
    yes = released_by(answers)
    return None if yes is None else yes.recorded_at


def released_by(answers: Iterable[AnswerFact]) -> AnswerFact | None:
    """The first yes on record that was both said no earlier and came on record later than every
    no."""
    given = list(answers)
    noes = [a for a in given if a.verdict not in FREEING]
    yeses = (a for a in given if a.verdict in FREEING and all(_takes_back(a, no) for no in noes))
    return min(yeses, key=lambda yes: yes.recorded_at, default=None)


def _takes_back(yes: AnswerFact, no: AnswerFact) -> bool:
    return yes.recorded_at > no.recorded_at and yes.answered_on >= no.answered_on


def refused(answers: Iterable[AnswerFact]) -> bool:
    """A clinician's no stands."""
    given = list(answers)
    return released_at(given) is None and any(a.verdict not in FREEING for a in given)
