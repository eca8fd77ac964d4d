"""Working on a plan that somebody asked for. Only the id of the run comes through the queue."""

import logging
import time
from collections.abc import Callable
from uuid import UUID

from celery import shared_task

from heelwright import clock
from heelwright.planning import runs
from heelwright.planning.asking import Plan, PlanAsked
from heelwright.planning.gather import gather
from heelwright.planning.models import PlanningRun
from heelwright.planning.result import told

log = logging.getLogger(__name__)

# Between two words of how far it is.
SECONDS_BETWEEN = 1.0


@shared_task
def make_plan(run: str) -> None:
    """Whoever comes first works on it; another one finds it taken."""
    number = UUID(run)
    if not runs.begun(number, clock.now()):
        return
    begun = PlanningRun.objects.select_related("staff__practice").filter(pk=number).first()
    # Whoever asks again drops it.
    if begun:
        _work_on(begun)


@shared_task
def forget_plans() -> None:
    """Each hour."""
    runs.forget_old(clock.now())


def _work_on(run: PlanningRun) -> None:
    # The server starts without the solver.
    from heelwright.planning.rules.planner import Cancelled
    from heelwright.planning.rules.vehicles import TooMuch

    try:
        plan = _plan(run)
    except Cancelled:
        return
    except TooMuch:
        runs.failed(run.pk, "too_much")
    except Exception as fault:  # noqa: BLE001 - whatever it is, the run says so
        # The cause may quote a card.
        log.error("a plan was not made: %s", type(fault).__name__)  # noqa: TRY400
        runs.failed(run.pk, "fault")
    else:
        runs.done(run, plan.model_dump(mode="json"), clock.now())


def _plan(run: PlanningRun) -> Plan:
    from heelwright.planning.rules import planner
    from heelwright.planning.rules.solver import Effort

    gathered = gather(run.staff, PlanAsked.model_validate(run.asked), clock.now())
    hear = _hear(run.pk, planner.Cancelled)
    return told(gathered, planner.propose(gathered.fortnight, Effort(), hear))


def _hear(run: UUID, cancelled: type[Exception]) -> Callable[[float], None]:
    """Says how far it is, and hears whether anybody still waits for it."""
    last = float("-inf")

    def hear(part: float) -> None:
        nonlocal last
        if time.monotonic() - last < SECONDS_BETWEEN:
            return
        last = time.monotonic()
        if not runs.heard(run, int(part * 100), clock.now()):
            raise cancelled

    return hear
