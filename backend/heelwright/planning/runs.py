"""The life of a run: asked for, begun, heard of, ended, forgotten. It is no record, so no command
writes it; these are the only writes."""

from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import Max, QuerySet

from heelwright import vault
from heelwright.planning.models import PlanningRun
from heelwright.schedule.models import Booking
from heelwright.tenancy.models import Staff

# Until somebody books what it proposed.
KEPT_FOR = timedelta(days=7)
# Once nobody needs it: stopped, failed, or all booked.
KEPT_OVER = timedelta(hours=1)


def asked_for(staff: Staff, asked: dict[str, Any], now: datetime) -> PlanningRun:
    """One at a time: whoever asks again calls off what they asked for before."""
    run = PlanningRun(practice=staff.practice, staff=staff, asked_at=now, heard_at=now, asked=asked)
    with transaction.atomic():
        # Two phones of one person that ask at once: each waits for the other.
        Staff.objects.select_for_update(no_key=True).get(pk=staff.pk)
        _unfinished(staff).update(state="cancelled")
        # The newest, also where the server's clock was set back since.
        before = PlanningRun.objects.filter(staff=staff).aggregate(at=Max("asked_at"))["at"]
        run.asked_at = max(now, before + timedelta(microseconds=1)) if before else now
        run.save(force_insert=True)
    return run


def call_off(staff: Staff, run: UUID) -> None:
    _unfinished(staff).filter(pk=run).update(state="cancelled")


def begun(run: UUID, now: datetime) -> bool:
    """Whether it is whoever asks that works on it."""
    waiting = PlanningRun.objects.filter(pk=run, state="waiting")
    return bool(waiting.update(state="running", heard_at=now))


def heard(run: UUID, percent: int, now: datetime) -> bool:
    """Whether anybody still waits for it: that is how a cancel is heard."""
    return bool(_running(run).update(percent=percent, heard_at=now))


def done(run: PlanningRun, result: dict[str, Any], now: datetime) -> None:
    with transaction.atomic():
        if _running(run.pk).update(state="done", percent=100, heard_at=now):
            run.result = result
            run.save(update_fields=["result"])


def failed(run: UUID, trouble: str) -> None:
    _running(run).update(state="failed", trouble=trouble)


def drop_before(run: PlanningRun) -> None:
    """The newest alone is ever read. A worker finds an older one gone, as if it were called off."""
    PlanningRun.objects.filter(staff=run.staff_id, asked_at__lt=run.asked_at).delete()


def taken_back(run: PlanningRun) -> None:
    """Nobody could be told of it."""
    run.delete()


def forget_old(now: datetime) -> None:
    PlanningRun.objects.filter(asked_at__lt=now - KEPT_FOR).delete()
    over = PlanningRun.objects.filter(heard_at__lt=now - KEPT_OVER)
    over.exclude(state="done").delete()
    with vault.unit():
        for run in over:
            if _all_booked(run):
                run.delete()


def _all_booked(run: PlanningRun) -> bool:
    """Whom it proposed had nothing to come when it was asked for."""
    days = run.result["days"] if run.result else []
    proposed = {visit["client"] for day in days for visit in day["visits"] if not visit["booking"]}
    coming = Booking.objects.filter(
        client__in=proposed, state="booked", starts_at__gte=run.asked_at
    )
    return proposed <= {str(client) for client in coming.values_list("client", flat=True)}


def _unfinished(staff: Staff) -> QuerySet[PlanningRun]:
    return PlanningRun.objects.filter(staff=staff, state__in=("waiting", "running"))


def _running(run: UUID) -> QuerySet[PlanningRun]:
    return PlanningRun.objects.filter(pk=run, state="running")
