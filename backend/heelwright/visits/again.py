"""Judges a visit again when something comes on record late that speaks against it."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from heelwright.commandlog import taking
from heelwright.commandlog.act import Act
from heelwright.intake.facts import facts_about
from heelwright.intake.late import watches_records
from heelwright.people.models import Client
from heelwright.visits.doubts import HELD, held_by, tell
from heelwright.visits.models import Visit

# Judging takes some ten queries a visit. Nobody is visited this often while a phone is away.
MOST = 20
# Of one delivery, whoever its clients are.
MOST_AT_ONCE = 60


@watches_records
@contextmanager
def judge_again(act: Act, client: Client, since: datetime) -> Iterator[None]:
    """Flag each visit from that moment on, or still going on then, that was right before and is not
    after: once for all that one delivery brings. Of more than the newest few, one entry tells.

    Only what the late records themselves bring counts: another edition of the rulebook, or a card
    that was corrected since, must not turn an old visit into a wrong one.
    """
    again = taking.ending(Again)
    again.note(client, since)
    yield
    again.acts[client.pk] = act


@dataclass
class Again:
    """`before` is why each visit was held before the first late record of the delivery, `acts` the
    last command about each client that brought one, `left` the clients with more visits."""

    before: dict[UUID, set[str]] = field(default_factory=dict)
    acts: dict[UUID, Act] = field(default_factory=dict)
    left: set[UUID] = field(default_factory=set)

    def note(self, client: Client, since: datetime) -> None:
        later = Visit.objects.filter(
            Q(judged_at__gte=since) | Q(ended_at__gte=since), client=client
        ).order_by("-judged_at", "-pk")
        newest = list(later.values_list("pk", flat=True)[: MOST + 1])
        new = [visit for visit in newest[:MOST] if visit not in self.before]
        room = MOST_AT_ONCE - len(self.before)
        if len(newest) > MOST or len(new) > room:
            self.left.add(client.pk)
        for visit in Visit.objects.filter(pk__in=new[:room]).select_related("client"):
            self.before[visit.pk] = set(_held(visit))

    def end(self) -> None:
        for client, told_by in self.acts.items():
            # The receipt of that command is written, and names no more.
            act = replace(told_by, incidents=[], announced=[])
            if client in self.left:
                about = Client.objects.get(pk=client)
                act.raise_incident("more_visits_to_check", about, [], client)
            noted = Visit.objects.filter(pk__in=self.before).order_by("-judged_at", "-pk")
            # Its card may have become another one meanwhile.
            of_client = Q(client=client) | Q(client__merged=client)
            for visit in noted.filter(of_client).select_related("client").distinct():
                self._judge(act, visit)

    def _judge(self, act: Act, visit: Visit) -> None:
        """It goes to the owner and to whoever made the visit. One that is still going on stays open
        for its report, which is then judged by itself."""
        new = [reason for reason in _held(visit) if reason not in self.before[visit.pk]]
        if not new:
            return
        if visit.state not in ("started", "under_review"):
            visit.state = "under_review"
            act.put(visit)
        tell(replace(act, staff=visit.staff), visit, {HELD: new})


def _held(visit: Visit) -> list[str]:
    return held_by(facts_about(visit.client, visit.judged_at), visit)
