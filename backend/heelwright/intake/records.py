"""Reads what is on record about a client and lays it out for the pure decisions in `rules.py`."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from heelwright.intake.models import (
    Clearance,
    Consent,
    FootCheck,
    HealthScreen,
    Referral,
)
from heelwright.intake.rules import ClearanceFact, ConsentFact, Facts, ReferralFact
from heelwright.people.models import Client
from heelwright.people.rules import age_on
from heelwright.rulebook import Book, book_for
from heelwright.tenancy.models import Practice


def book_of(practice: Practice) -> Book:
    return book_for(practice.place or None)


def local_day(practice: Practice, moment: datetime) -> date:
    return moment.astimezone(ZoneInfo(practice.zone)).date()


def age_at(client: Client, moment: datetime) -> int:
    return age_on(date.fromisoformat(client.born), local_day(client.practice, moment))


def newest_screen(client: Client) -> HealthScreen | None:
    """The last one that is not entered in error."""
    return (
        HealthScreen.objects.filter(client=client, error_mark=None).order_by("-screened_at").first()
    )


def newest_check(client: Client) -> FootCheck | None:
    return FootCheck.objects.filter(client=client, error_mark=None).order_by("-checked_at").first()


def judge(
    client: Client,
    at: datetime,
    answers: Mapping[str, Any],
    findings: list[dict[str, Any]],
) -> dict[str, Any]:
    """What the practice's rulebook makes of these answers at a client's age on that day.

    Questions that this edition of the book does not have are passed over: a device may be an
    edition ahead or behind. Raises InvalidAnswers for an answer that can't be read.
    """
    book = book_of(client.practice)
    known = {key: value for key, value in answers.items() if key in book.question_ids}
    return book.judge(known, findings, age_at(client, at)).as_json()


def referrals_of(client: Client) -> list[Referral]:
    """All that stand: a referral from a screen or check entered in error does not."""
    slips = set(
        HealthScreen.objects.filter(client=client, error_mark__isnull=False).values_list("pk")
    ) | set(FootCheck.objects.filter(client=client, error_mark__isnull=False).values_list("pk"))
    all_of = Referral.objects.filter(client=client).prefetch_related("answers")
    return [r for r in all_of if (r.pk,) not in slips]


def answered_at(referral: Referral) -> datetime | None:
    """When an answer first came on record."""
    return min((a.recorded_at for a in referral.answers.all()), default=None)


def facts_about(client: Client, at: datetime) -> Facts:
    """Everything `standing` needs to decide whether work on this client may start at a moment."""
    screen, check = newest_screen(client), newest_check(client)
    judgement = None
    if screen is not None:
        answers = {**screen.answers, **(check.answers if check else {})}
        judgement = judge(client, at, answers, check.findings if check else [])
    return Facts(
        at=at,
        day=local_day(client.practice, at),
        valid_hours=book_of(client.practice).content.settings.screen_valid_hours,
        decides_for_self=client.decides_for_self,
        screened_at=screen.screened_at if screen else None,
        checked_at=check.checked_at if check else None,
        judgement=judgement,
        referrals=[
            ReferralFact(r.judgement["outcome"], answered_at(r)) for r in referrals_of(client)
        ],
        clearances=[
            ClearanceFact(c.given_on, c.expires_on, frozenset(c.covers))
            for c in Clearance.objects.filter(client=client)
        ],
        consents=[
            ConsentFact(
                c.signer_role == "representative",
                c.signed_at,
                c.withdrawal.withdrawn_at if hasattr(c, "withdrawal") else None,
            )
            for c in Consent.objects.filter(client=client).select_related("withdrawal")
        ],
    )
