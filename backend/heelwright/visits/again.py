"""Judges a visit again when something comes on record late that speaks against it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime

from django.db.models import Q

from heelwright.commandlog.act import Act
from heelwright.intake.facts import facts_about
from heelwright.intake.late import watches_records
from heelwright.people.models import Client
from heelwright.visits.doubts import HELD, held_by, tell
from heelwright.visits.models import Visit

# Judging takes some twenty queries a visit. Nobody is visited this often while a phone is away.
MOST = 20


@watches_records
@contextmanager
def judge_again(act: Act, client: Client, since: datetime) -> Iterator[None]:
    """Flag each visit from that moment on, or still going on then, that was right before and is not
    after. Of more than the newest few, one entry tells.

    Only what the late record itself brings counts: another edition of the rulebook, or a card that
    was corrected since, must not turn an old visit into a wrong one.
    """
    later = Visit.objects.filter(Q(judged_at__gte=since) | Q(ended_at__gte=since), client=client)
    newest = list(later.order_by("-judged_at", "-pk")[: MOST + 1])
    before = [(visit, set(_held(client, visit))) for visit in newest[:MOST]]
    yield
    if len(newest) > MOST:
        act.raise_incident("more_visits_to_check", client, [], client.pk)
    for visit, reasons in before:
        new = [reason for reason in _held(client, visit) if reason not in reasons]
        if new:
            _flag(act, visit, new)


def _held(client: Client, visit: Visit) -> list[str]:
    return held_by(facts_about(client, visit.judged_at), visit)


def _flag(act: Act, visit: Visit, reasons: list[str]) -> None:
    """It goes to the owner and to whoever made the visit. One that is still going on stays open for
    its report, which is then judged by itself."""
    if visit.state not in ("started", "under_review"):
        visit.state = "under_review"
        act.put(visit)
    tell(replace(act, staff=visit.staff), visit, {HELD: reasons})
