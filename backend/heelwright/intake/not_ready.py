"""Says to the coordinators of a facility that a resident can't be visited as things stand.

No reason, no rule and no finding goes with it, and that a clinician is waited for only where the
client agreed that the staff who care for them are told (decision 0175).
"""

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import after_each_command, feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.ids import new_id
from heelwright.intake.asked_before import needs
from heelwright.intake.clearances import in_force
from heelwright.intake.decided import decisions
from heelwright.intake.facts import facts_about, referrals_waiting
from heelwright.intake.models import NotReady
from heelwright.intake.rules import Facts, standing, state_of
from heelwright.people.models import Client

ALWAYS = {"clinician_said_no", "referral_unanswered", "needs_clearance"}
# Once a referral is answered, asking anew is all that is missing.
UNTIL_ANSWERED = {"emergency", "refer_first"}


class NotReadyRow(BaseModel):
    """`last_day` is the last one on which a visit can go ahead; null where none can already.
    `clinician` says that the word of one is waited for."""

    client: UUID
    last_day: date | None
    clinician: bool


@after_each_command
def tell_facility(act: Act, client_id: UUID) -> None:
    """Bring what coordinators are told about a client up to date."""
    client = Client.objects.get(pk=client_id)
    wanted = _wanted(client, act.now) if client.facility_id else None
    there = list(NotReady.objects.filter(client=client).order_by("pk"))
    for one in there[1:] if wanted else there:
        act.remove(one)
    if wanted is None:
        return
    row = there[0] if there else NotReady(id=new_id(), practice=act.practice, client=client)
    if not there or (row.last_day, row.clinician) != wanted:
        row.last_day, row.clinician = wanted
        act.put(row)


def _wanted(client: Client, now: datetime) -> tuple[date | None, bool] | None:
    facts = facts_about(client, now)
    held, last_day = waits(facts, letters=bool(referrals_waiting(client, now)))
    if not held and last_day is None:
        return None
    return last_day, state_of(decisions(client, "sharing"), now) == "agreed"


def waits(facts: Facts, *, letters: bool) -> tuple[bool, date | None]:
    """Whether a clinician's word is missing now, and else the last day before it will be, as far as
    that can be told. `pwa/src/routes/client/hold.ts` says alike what is missing now."""
    reasons = set(standing(facts).reasons)
    answered = "screen_before_answer" in reasons
    if letters or reasons & (ALWAYS if answered else ALWAYS | UNTIL_ANSWERED):
        return True, None
    judgement = facts.judgement
    if judgement is None or judgement["outcome"] != "needs_clearance":
        return False, None
    holding = in_force(facts.clearances, facts.at, facts.day)
    ends = (max(c.expires_on for c in holding if rule in c.covers) for rule in needs(judgement))
    return False, min(ends)


def rows(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for one in NotReady.objects.filter(pk__in=ids):
        row = NotReadyRow(client=one.client_id, last_day=one.last_day, clinician=one.clinician)
        yield one.pk, row


feed_kind(FeedKind("not_ready", NotReady, NotReadyRow, lambda row: row.client_id, rows))
follows_client(NotReady)
