"""Makes the referral that a judgement asks for. Nobody is asked whether to."""

from collections.abc import Iterable
from typing import Any

from heelwright.commandlog.act import Act
from heelwright.intake.facts import referrals_waiting
from heelwright.intake.models import FootCheck, HealthScreen, Referral
from heelwright.intake.records import by, checks_that_count, screens_that_count, worse_together
from heelwright.intake.rules import serious
from heelwright.people.merging import when_merged
from heelwright.people.models import Client


def refer(act: Act, record: HealthScreen | FootCheck, judgement: Any = None) -> None:
    """Refer by a record's judgement, unless a referral still unanswered names the same reasons.

    `judgement` is another reading of the record than the one it holds.
    """
    judgement = judgement or record.judgement
    untold = serious(judgement)
    for waiting in referrals_waiting(record.client, act.now):
        untold -= {r["id"] for r in waiting.judgement["fired"]}
    if not untold:
        return
    referral = Referral(
        id=record.pk,
        # One that is dated ahead could be answered by nobody before that day.
        made_at=act.by_now(act.made_at),
        from_kind="health_screen" if isinstance(record, HealthScreen) else "foot_check",
        judgement=judgement,
        findings=record.findings if isinstance(record, FootCheck) else [],
        **by(act, record.client),
    )
    act.put(referral)


def not_referred(
    client: Client, records: Iterable[HealthScreen | FootCheck]
) -> list[HealthScreen | FootCheck]:
    """Those of a client's records that made no referral: each makes one at most."""
    referred = set(Referral.objects.filter(client=client).values_list("pk", flat=True))
    return [record for record in records if record.pk not in referred]


@when_merged
def _refer_what_two_cards_say(act: Act, client: Client) -> None:
    """What was asked under one card and seen under the other may be a reason together."""
    records: list[HealthScreen | FootCheck] = [*screens_that_count(client, act.now)]
    records += checks_that_count(client, act.now)
    for record in not_referred(client, records):
        together = worse_together(record, act.now)
        if together:
            refer(act, record, together)
