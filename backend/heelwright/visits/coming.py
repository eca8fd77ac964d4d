"""When a client's next visit is due, by what was said when the last one was signed off."""

from collections.abc import Collection
from uuid import UUID

from django.db.models import OuterRef, Subquery

from heelwright.intake.records import local_day
from heelwright.people.models import Client
from heelwright.schedule.coming import tells_when_due
from heelwright.schedule.rules.due import Window, window
from heelwright.visits.models import Visit


@tells_when_due
def due_after_last(clients: Collection[Client]) -> dict[UUID, Window]:
    """Not of whom there was no visit, or whose last one named no weeks: where something went wrong
    in it, those of the visit before count no more."""
    by_id = {client.pk: client for client in clients}
    reported = Visit.objects.filter(client=OuterRef("pk")).exclude(state="started")
    newest = Subquery(reported.order_by("-judged_at").values("pk")[:1])
    last = Client.objects.filter(pk__in=by_id).annotate(newest=newest).values("newest")
    found = {}
    for visit in Visit.objects.filter(pk__in=last):
        client = by_id[visit.client_id]
        weeks = visit.record.get("weeks_until_next")
        if weeks:
            day = local_day(client.practice, visit.judged_at)
            found[client.pk] = window(day, weeks, bool(client.may_wait))
    return found
