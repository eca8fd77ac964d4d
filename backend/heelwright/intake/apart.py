"""Two people ask the same questions, or look at the same feet, without knowing of each other.

What each knew is kept with the record; where they come to different outcomes, somebody is told.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import QuerySet

from heelwright.commandlog.act import Act
from heelwright.intake.arguments import RecordFootCheck, RecordScreen
from heelwright.intake.models import FootCheck, HealthScreen
from heelwright.intake.records import (
    Asked,
    checks_that_count,
    happened_at,
    judged_together,
    screens_that_count,
)
from heelwright.people.books import book_of
from heelwright.people.models import Client


def screens_known(act: Act, client: Client, args: RecordScreen) -> list[str]:
    """The screens that were on the phone when the asking began."""
    named = args.seen_screens if "seen_screens" in args.model_fields_set else None
    own = HealthScreen.objects.filter(client=client, staff=act.staff)
    return _known(act, named, own.filter(screened_at__gte=_since(act, args.screened_at)))


def checks_known(act: Act, client: Client, args: RecordFootCheck) -> list[str]:
    """The foot checks that were on the phone when the look began."""
    named = args.seen_checks if "seen_checks" in args.model_fields_set else None
    own = FootCheck.objects.filter(client=client, staff=act.staff)
    return _known(act, named, own.filter(checked_at__gte=_since(act, args.checked_at)))


def _known(act: Act, named: list[UUID] | None, own: QuerySet[Asked]) -> list[str]:
    """An app that does not say what it knew: a person knows at least their own. One that is shut
    out takes back nothing of what others were told."""
    if act.device.revoked_at is not None:
        return []
    known: Iterable[UUID] = own.values_list("pk", flat=True) if named is None else named
    return sorted(map(str, known))


def _since(act: Act, moment: datetime) -> datetime:
    return moment - timedelta(hours=book_of(act.practice).content.settings.screen_valid_hours)


def tell_of_screens(act: Act, screen: HealthScreen) -> None:
    """Raise an incident where another screen that counts came to a different outcome."""
    outcomes = {s: s.judgement["outcome"] for s in screens_that_count(screen.client, act.now)}
    _tell(act, "screens_disagree", screen, outcomes)


def tell_of_checks(act: Act, check: FootCheck) -> None:
    """Raise an incident where another foot check that counts, with the same health questions, came
    to a different outcome."""
    checks = checks_that_count(check.client, act.now)
    if len(checks) == 1:
        return
    screens = screens_that_count(check.client, act.now)
    outcomes = {}
    for each in checks:
        judgement = judged_together(check.client, act.now, screens, [each])
        outcomes[each] = judgement["outcome"] if judgement else ""
    _tell(act, "foot_checks_disagree", check, outcomes)


def _tell(act: Act, code: str, record: Asked, outcomes: Mapping[Asked, str]) -> None:
    """Tells whoever made the newer of the two."""
    if record not in outcomes:
        return
    for other, outcome in outcomes.items():
        if outcome != outcomes[record]:
            older, newer = sorted((record, other), key=lambda one: (happened_at(one), one.pk))
            reasons = [outcomes[older], outcomes[newer]]
            teller = replace(act, staff=newer.staff)
            teller.raise_incident(code, newer, reasons, record.client_id)
            return
