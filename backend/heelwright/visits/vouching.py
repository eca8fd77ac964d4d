"""What speaks for the start that a visit's report claims, where no start of it is on record.

A phone tells of a start before it tells of the end. A report alone could claim any start, such as
one before a clearance ended.
"""

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from uuid import UUID

from heelwright.commandlog.models import CommandRecord, LoggedArgs
from heelwright.intake.facts import facts_about
from heelwright.people.models import Client
from heelwright.visits.doubts import absent, held_by
from heelwright.visits.models import Visit
from heelwright.visits.moment import moment_of_start

# Each must be opened to tell of which visit it is. Nobody is refused so often before a report.
MOST = 50


def refused_starts(client: Client, visit: UUID) -> list[LoggedArgs]:
    """The starts of a visit that were asked for and refused, of the client's newest ones, in the
    order in which they came.

    Its report is judged for the start that it claims, and that may be another one.
    """
    cards = [client.pk, *client.merged.values_list("pk", flat=True)]
    starts = LoggedArgs.objects.filter(
        subject__in=cards, command__name="start_visit", command__status="refused"
    )
    newest = starts.select_related("command").order_by("-command__received_at", "-command__seq")
    return [s for s in reversed(newest[:MOST]) if s.sealed.get("visit") == str(visit)]


def proven_start(report: CommandRecord, visit: Visit, starts: Sequence[LoggedArgs]) -> datetime:
    """For which moment this start was, or would be, judged: by the first command that tells of
    it, and when the report came where none does."""
    for start in starts:
        with suppress(ValueError):
            if datetime.fromisoformat(str(start.sealed.get("started_at"))) == visit.started_at:
                return moment_of_start(start.command, visit.started_at)
    return report.received_at


def not_vouched_for(client: Client, visit: Visit, proven: datetime) -> dict[str, list[str]]:
    """{incident code: reasons}: what spoke against the visit at the proven moment and did not at
    the one that its report claims."""
    if proven == visit.judged_at:
        return {}
    claimed = held_by(facts_about(client, visit.judged_at), visit)
    reasons = [r for r in held_by(facts_about(client, proven), visit) if r not in claimed]
    if absent(client, proven) and not absent(client, visit.judged_at):
        reasons.append(str(client.status))
    return {"start_not_vouched_for": reasons} if reasons else {}
