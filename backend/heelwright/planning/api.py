"""Asking for a plan, hearing how far it is, and calling it off. Runs are working papers: they are
on no feed, and whoever asked for one reads it."""

import logging
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from kombu.exceptions import OperationalError
from ninja import Router

from heelwright import clock, vault
from heelwright.commandlog.protocol import Spoken
from heelwright.declarations import Refused, Role
from heelwright.planning import runs
from heelwright.planning.asking import NewestRun, PlanAsked, RunTold
from heelwright.planning.models import PlanningRun
from heelwright.planning.tasks import make_plan
from heelwright.tenancy.models import Device, Staff
from heelwright.tenancy.signin import DeviceToken, speaker

log = logging.getLogger(__name__)
router = Router(auth=DeviceToken(), tags=["planning"])

# As far ahead as anybody plans.
FARTHEST = timedelta(days=400)


class QueueAway(Refused):
    """503: nobody can be told to work on it."""

    def __init__(self) -> None:
        super().__init__(
            "queue_away",
            "The server can't hand this on to be worked on.",
            "Tell whoever runs the server. Booking by hand works all the same.",
        )


class AskPlan(Spoken):
    device: UUID
    asked: PlanAsked


@router.post("/planning/runs", response=RunTold)
def ask_plan(request: HttpRequest, body: AskPlan) -> RunTold:
    """One at a time: whoever asks again calls off what they asked for before."""
    device = speaker(request, body.device)
    now = clock.now()
    _may_ask(device, body.asked, now)
    with vault.unit():
        run = runs.asked_for(device.staff, body.asked.model_dump(mode="json"), now)
    try:
        make_plan.delay(str(run.pk))
    except (OperationalError, OSError):
        log.error("the queue is away")  # noqa: TRY400 - the cause names the queue's address
        runs.taken_back(run)
        raise QueueAway from None
    runs.drop_before(run)
    return _told(run, now)


@router.get("/planning/runs/newest", response=NewestRun)
def newest_plan(request: HttpRequest) -> NewestRun:
    """What whoever asks has asked for last."""
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    run = PlanningRun.objects.filter(staff=device.staff).order_by("-asked_at", "-pk").first()
    with vault.unit():
        return NewestRun(run=_told(run, clock.now()) if run else None)


@router.post("/planning/runs/{run}/cancel", response=NewestRun)
def cancel_plan(request: HttpRequest, run: UUID) -> NewestRun:
    device: Device = request.auth  # type: ignore[attr-defined]  # set by the token check
    runs.call_off(device.staff, run)
    return newest_plan(request)


def _may_ask(device: Device, asked: PlanAsked, now: datetime) -> None:
    if device.staff.role == Role.COORDINATOR:
        raise Refused(
            "not_allowed", "Your role can't do this.", "Ask the person who runs your practice."
        )
    if device.staff.role != Role.OWNER and set(asked.staff) != {device.staff.pk}:
        raise Refused(
            "not_yours",
            "Only an owner plans for others.",
            "Plan your own days, or ask an owner of your practice.",
            field="staff",
        )
    theirs = Staff.objects.filter(practice=device.practice, pk__in=asked.staff, ended_at=None)
    if theirs.exclude(role=Role.COORDINATOR).count() != len(asked.staff):
        raise Refused(
            "not_found",
            "One of these makes no visits in your practice, or is named twice.",
            "Sync, then choose again.",
            field="staff",
        )
    today = now.astimezone(ZoneInfo(device.practice.zone)).date()
    if not today <= asked.first <= today + FARTHEST:
        raise Refused(
            "wrong_days",
            "The first day is over, or more than a year ahead.",
            "Choose days from today on.",
            field="first",
        )


def _told(run: PlanningRun, now: datetime) -> RunTold:
    state, trouble = run.stands(now)
    return RunTold.model_validate(
        {
            "run": run.pk,
            "asked": run.asked,
            "asked_at": run.asked_at,
            "state": state,
            "trouble": trouble,
            "percent": run.percent,
            "plan": run.result,
        }
    )
