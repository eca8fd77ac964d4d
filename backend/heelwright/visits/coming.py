"""When a client's next visit is due, by what was said when the last one was signed off."""

from heelwright.intake.records import local_day
from heelwright.people.models import Client
from heelwright.schedule.coming import tells_when_due
from heelwright.schedule.rules.due import Window, window
from heelwright.visits.models import Visit


@tells_when_due
def due_after_last(client: Client) -> Window | None:
    """None where there was no visit, or the last one named no weeks: where something went wrong in
    it, those of the visit before count no more."""
    reported = Visit.objects.filter(client=client).exclude(state="started")
    last = reported.order_by("judged_at").last()
    weeks = last.record.get("weeks_until_next") if last else None
    if last is None or not weeks:
        return None
    return window(local_day(client.practice, last.judged_at), weeks, bool(client.may_wait))
