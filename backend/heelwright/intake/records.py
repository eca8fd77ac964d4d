"""Reads what is on record about a client and lays it out for the pure decisions in `rules.py`."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from django.db.models import QuerySet
from django.db.models.functions import Least

from heelwright.commandlog.act import Act
from heelwright.intake.models import (
    Clearance,
    Consent,
    FootCheck,
    HealthScreen,
    Referral,
)
from heelwright.intake.rules import ClearanceFact, ConsentFact, Facts, ReferralFact, serious
from heelwright.people.models import Client
from heelwright.people.rules import age_on
from heelwright.rulebook import Book, InvalidAnswers, book_for
from heelwright.tenancy.models import Practice

Asked = TypeVar("Asked", HealthScreen, FootCheck)


def book_of(practice: Practice) -> Book:
    return book_for(practice.place or None)


def local_day(practice: Practice, moment: datetime) -> date:
    return moment.astimezone(ZoneInfo(practice.zone)).date()


def age_at(client: Client, moment: datetime) -> int:
    return max(0, age_on(date.fromisoformat(client.born), local_day(client.practice, moment)))


def by(act: Act, client: Client) -> dict[str, Any]:
    """Who writes a row about a client, by which edition, and when it reached the server."""
    return {
        "practice": act.practice,
        "client": client,
        "staff": act.staff,
        "rulebook": book_of(act.practice).version,
        "received_at": act.now,
    }


def newest_screen(client: Client) -> HealthScreen | None:
    return _newest(HealthScreen.objects.filter(client=client), "screened_at")


def newest_check(client: Client) -> FootCheck | None:
    return _newest(FootCheck.objects.filter(client=client), "checked_at")


def _newest(records: QuerySet[Asked], claimed: str) -> Asked | None:
    """The last one, or None where that was entered in error: it must then be done again.

    A record from a clock that ran ahead counts from when the server had it.
    """
    newest = (
        records.select_related("error_mark")
        .annotate(happened_at=Least(claimed, "received_at"))
        .order_by("-happened_at", "-received_at", "-pk")
        .first()
    )
    return None if newest is None or hasattr(newest, "error_mark") else newest


def happened_at(record: HealthScreen | FootCheck) -> datetime:
    claimed = record.screened_at if isinstance(record, HealthScreen) else record.checked_at
    return min(claimed, record.received_at)


def judge(
    client: Client,
    at: datetime,
    health: Mapping[str, Any],
    foot: Mapping[str, Any] | None = None,
    findings: Sequence[Mapping[str, Any]] = (),
) -> dict[str, Any]:
    """What the practice's rulebook makes of these answers at a client's age on that day.

    Health questions are answered by the health screen alone and foot questions by the foot check,
    so that neither can take back what the other says. Questions that this edition of the book does
    not have are passed over: a device may be an edition ahead or behind. Raises InvalidAnswers for
    an answer that can't be read.
    """
    book = book_of(client.practice)
    part_of = {q.id: group.part for group in book.content.groups for q in group.questions}
    answers = {key: value for key, value in health.items() if part_of.get(key) == "health"}
    answers |= {key: value for key, value in (foot or {}).items() if part_of.get(key) == "foot"}
    return book.judge(answers, findings, age_at(client, at)).as_json()


def referrals_of(client: Client) -> list[Referral]:
    """All that stand: a referral from a screen or check entered in error does not."""
    slips = set(
        HealthScreen.objects.filter(client=client, error_mark__isnull=False).values_list("pk")
    ) | set(FootCheck.objects.filter(client=client, error_mark__isnull=False).values_list("pk"))
    all_of = Referral.objects.filter(client=client).prefetch_related("answers")
    return [r for r in all_of if (r.pk,) not in slips]


def answered_at(referral: Referral) -> datetime | None:
    """When an answer first came on record."""
    return min((answer.recorded_at for answer in referral.answers.all()), default=None)


def _judged_together(
    client: Client, at: datetime, screen: HealthScreen | None, check: FootCheck | None
) -> dict[str, Any] | None:
    """None without a screen, and where this edition can't read the answers to an older one."""
    if screen is None:
        return None
    foot, findings = (check.answers, check.findings) if check else ({}, [])
    try:
        return judge(client, at, screen.answers, foot, findings)
    except InvalidAnswers:
        return None


def worse_together(record: HealthScreen | FootCheck) -> dict[str, Any] | None:
    """The newest screen and check as `standing` reads them, where this record is one of them and
    the two call for a referral that neither called for when it came; None otherwise.

    A foot check names the screen before it. A screen after it may say what makes its findings
    serious, and must not be taken back by a third.
    """
    screen, check = newest_screen(record.client), newest_check(record.client)
    if screen is None or check is None or record.pk not in {screen.pk, check.pk}:
        return None
    hours = book_of(record.client.practice).content.settings.screen_valid_hours
    if abs(happened_at(screen) - happened_at(check)) > timedelta(hours=hours):
        return None
    both = _judged_together(record.client, happened_at(record), screen, check)
    known = serious(screen.judgement) | serious(check.judgement)
    return both if both and serious(both) - known else None


def facts_about(client: Client, at: datetime) -> Facts:
    """Everything `standing` needs to decide whether work on this client may start at a moment."""
    screen, check = newest_screen(client), newest_check(client)
    return Facts(
        at=at,
        day=local_day(client.practice, at),
        valid_hours=book_of(client.practice).content.settings.screen_valid_hours,
        decides_for_self=client.decides_for_self,
        screened_at=happened_at(screen) if screen else None,
        checked_at=happened_at(check) if check else None,
        judgement=_judged_together(client, at, screen, check),
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
