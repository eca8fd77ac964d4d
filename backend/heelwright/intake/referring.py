"""Makes the referral that a judgement asks for. Nobody is asked whether to.

A client may have to be seen by somebody else first, or only a clinician's word may be asked for,
which a clearance then gives. For both there is a letter to hand over, and an answer to wait for.
"""

from collections.abc import Iterable
from typing import Any

from django.db.models import Q, QuerySet

from heelwright.commandlog.act import Act
from heelwright.ids import new_id
from heelwright.intake.facts import covered_now, referrals_to_lean_on
from heelwright.intake.models import FootCheck, HealthScreen, Referral
from heelwright.intake.records import (
    by,
    checks_that_count,
    happened_at,
    readings,
    screens_that_count,
    worse_together,
)
from heelwright.intake.rules import asks, serious
from heelwright.people.merging import when_merged
from heelwright.people.models import Client


def refer(act: Act, record: HealthScreen | FootCheck) -> None:
    """Refer by each reading of a record, unless a referral still unanswered names the same reasons.

    What only asks for a clearance, and is covered by one, asks for no letter; nor does a record ask
    for two of those.
    """
    for judgement in readings(record, act.now):
        if judgement["referral"]:  # None by an older server, which made no letters for a clearance.
            _refer_by(act, record, judgement)


def _refer_by(act: Act, record: HealthScreen | FootCheck, judgement: dict[str, Any]) -> None:
    made_one = made_by(record).exists()
    untold, named = serious(judgement), serious
    if not untold and not made_one:
        untold, named = asks(judgement) - covered_now(record.client, act.now), asks
    for waiting in referrals_to_lean_on(record.client, act.now) if untold else ():
        untold -= named(waiting.judgement)
    if not untold:
        return
    referral = Referral(
        id=new_id() if made_one else record.pk,
        of_record=record.pk if made_one else None,
        # One that is dated ahead could be answered by nobody before that day.
        made_at=act.by_now(max(act.made_at, happened_at(record))),
        from_kind="health_screen" if isinstance(record, HealthScreen) else "foot_check",
        judgement=judgement,
        findings=record.findings if isinstance(record, FootCheck) else [],
        **by(act, record.client),
    )
    act.put(referral)


def made_by(record: HealthScreen | FootCheck) -> QuerySet[Referral]:
    """What a record made: one referral, or one more after it where that asked for a clearance."""
    return Referral.objects.filter(Q(pk=record.pk) | Q(of_record=record.pk))


def not_referred(
    client: Client, records: Iterable[HealthScreen | FootCheck]
) -> list[HealthScreen | FootCheck]:
    """Those of a client's records that have not referred the client on: each does so once."""
    referrals = Referral.objects.filter(client=client)
    referred = {r.record_id for r in referrals if serious(r.judgement)}
    return [record for record in records if record.pk not in referred]


@when_merged
def _refer_what_two_cards_say(act: Act, client: Client) -> None:
    """What was asked under one card and seen under the other may be a reason together."""
    records: list[HealthScreen | FootCheck] = [*screens_that_count(client, act.now)]
    records += checks_that_count(client, act.now)
    for record in not_referred(client, records):
        together = worse_together(record, act.now)
        if together:
            _refer_by(act, record, together)
