"""What a client's next visit is for and how long it takes, by those before.

The phone proposes the same where one is booked (`routes/booking/service.ts`).
"""

from collections import defaultdict
from collections.abc import Collection
from datetime import timedelta
from uuid import UUID

from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.schedule.rules.lengths import PastVisit, usual_minutes, usual_service
from heelwright.schedule.usual import Usual, tells_what_is_usual
from heelwright.visits.models import Visit

MINUTE = timedelta(minutes=1)


@tells_what_is_usual
def usual_by_visits(clients: Collection[Client]) -> dict[UUID, Usual]:
    practices = {client.practice for client in clients}
    services = {practice: book_of(practice).content.services for practice in practices}
    past = _past([client.pk for client in clients])
    found = {}
    for client in clients:
        service = usual_service(past[client.pk], services[client.practice])
        if service:
            found[client.pk] = Usual(service.id, usual_minutes(past[client.pk], service))
    return found


def _past(clients: Collection[UUID]) -> defaultdict[UUID, list[PastVisit]]:
    """The newest first."""
    visits = Visit.objects.filter(client__in=clients).exclude(state="started")
    fields = ("client", "state", "started_at", "ended_at", "booking__service")
    past = defaultdict(list)
    for client, state, began, ended, service in visits.order_by("-started_at").values_list(*fields):
        whole = state == "completed" and ended is not None
        took = -((began - ended) // MINUTE) if whole else None
        past[client].append(PastVisit(service or "", took))
    return past
