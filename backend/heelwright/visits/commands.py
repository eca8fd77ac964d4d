"""Starting a visit, which can be refused, and reporting one, which can't: care given is care
given."""

from datetime import datetime
from typing import TypeVar
from uuid import UUID

from django.db.models import Max

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.device_clock import EARLIEST
from heelwright.commandlog.models import CommandRecord
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.intake.decided import allows_work
from heelwright.intake.evidence_record import ClientRecord
from heelwright.intake.facts import facts_about
from heelwright.intake.models import Consent, FootCheck, HealthScreen
from heelwright.intake.need_gone import needs_gone
from heelwright.intake.records import by, local_day, newest_check, newest_screen
from heelwright.intake.rules import standing
from heelwright.kit.uses import keep_used
from heelwright.people.access import client_for, not_away
from heelwright.people.models import Client
from heelwright.schedule.models import Booking
from heelwright.visits import (
    again,  # noqa: F401 - watches for records that come late
    coming,  # noqa: F401 - tells when the next visit is due
    giving,  # noqa: F401 - declares its command
    mishaps,  # noqa: F401 - declares its commands
    usual,  # noqa: F401 - tells what the next visit is for and how long it takes
)
from heelwright.visits.arguments import CompleteVisit, StartVisit
from heelwright.visits.doubts import HELD, doubts_about, tell
from heelwright.visits.models import Visit
from heelwright.visits.moment import moment_of_start
from heelwright.visits.vouching import not_vouched_for, proven_start, refused_starts

Record = TypeVar("Record", bound=ClientRecord)

WHY_NOT = {
    "clinician_said_no": "A clinician has said no to work on this client.",
    "referral_unanswered": "This client is referred, and no answer is on record yet.",
    "screen_before_answer": "The referral is answered; the health questions must be asked again.",
    "no_screen": "The health questions have not been asked.",
    "screen_not_current": "The health questions were not asked today.",
    "no_foot_check": "The feet have not been looked at.",
    "foot_check_not_current": "The feet were not looked at today.",
    "refer_first": "This client must be seen by somebody else first.",
    "emergency": "This client needs urgent medical help first.",
    "questions_open": "Questions that could stop the work are still open.",
    "needs_clearance": "This client needs a clinician's clearance first.",
    "no_consent": "There is no consent.",
    "consent_by_representative": "Somebody who may sign for this client must consent.",
}


@command(Power.PERMISSION, StartVisit)
def start_visit(act: Act, args: StartVisit) -> None:
    client = client_for(act, args.client)
    fresh_id(Visit, args.visit, "visit")
    act.not_ahead(args.started_at, "started_at")
    _open_booking(client, args.booking)
    moment = moment_of_start(_logged(act), args.started_at)
    not_away(client, local_day(act.practice, moment))
    decided = standing(facts_about(client, moment))
    if not decided.may_start:
        raise Refused(
            decided.reasons[0],
            WHY_NOT[decided.reasons[0]],
            "Do not start. Deal with this first; local rules and the client's clinician decide.",
            field="client",
        )
    _rests_on(client, args, moment)
    act.put(_visit(act, client, args, "started", moment))


@command(Power.REPORT, CompleteVisit)
def complete_visit(act: Act, args: CompleteVisit) -> None:
    """Kept whatever it says. What should not have been done goes to review instead."""
    client = client_for(act, args.client)
    known = _begun(act, client, args.visit)
    act.not_ahead(args.ended_at, "ended_at")
    as_it_began = known is not None and known.started_at == args.started_at
    moment = known.judged_at if known and as_it_began else act.by_now(args.started_at)
    visit = _visit(act, client, args, "ended_early" if args.ended_early else "completed", moment)
    visit.ended_at = args.ended_at
    visit.record = args.model_dump(mode="json")
    starts = [] if known else refused_starts(client, args.visit)
    codes = [start.command.refusal_code for start in starts]
    facts = facts_about(client, visit.judged_at)
    doubts = doubts_about(act, facts, visit, [code for code in codes if code in WHY_NOT])
    if known is None and HELD not in doubts:
        doubts |= not_vouched_for(client, visit, proven_start(_logged(act), visit, starts))
    changed = _changed(args, as_it_began=known is None or as_it_began)
    if changed:
        doubts["visit_times_changed"] = changed
    unready = keep_used(act, client, args.visit, args.kit)
    if doubts or unready or not act.sees(client.pk):
        visit.state = "under_review"
    act.put(visit)
    tell(act, visit, doubts)
    gone = needs_gone(client, facts, _last_visit(visit))
    if gone:
        act.raise_incident("clearance_need_gone", visit, gone, client.pk)
    booking = visit.booking
    if booking is not None and booking.state == "booked" and visit.state != "under_review":
        booking.state = "done"
        act.put(booking)


def _last_visit(visit: Visit) -> datetime:
    """When the client was visited before."""
    earlier = Visit.objects.filter(client=visit.client_id, judged_at__lt=visit.judged_at)
    last = earlier.exclude(pk=visit.pk).aggregate(at=Max("judged_at"))["at"]
    return last or EARLIEST


def _begun(act: Act, client: Client, visit_id: UUID) -> Visit | None:
    """The visit as it was started, if it was. Raise Refused where it is no longer to be reported by
    this person: the report of whoever did the work must find it open."""
    known = Visit.objects.filter(pk=visit_id).first()
    if known is None:
        return None
    if known.client_id != client.pk or known.state != "started":
        raise Refused(
            "id_taken", "This visit is on record already.", "Nothing needs doing.", "visit"
        )
    if known.staff_id != act.staff.pk:
        raise Refused(
            "begun_by_another",
            "Somebody else began this visit.",
            "Whoever began it reports it. If they can't, tell the owner of your practice.",
            field="visit",
        )
    return known


def _logged(act: Act) -> CommandRecord:
    assert act.record is not None  # noqa: S101 - only a founding has none, and that is no visit
    return act.record


def _changed(args: CompleteVisit, *, as_it_began: bool) -> list[str]:
    """The times that can't be as they are told. A clock that is put right while the work goes on
    lets it end before it started: that loses no report."""
    changed = [] if as_it_began else ["started_at"]
    return [*changed, "ended_at"] if args.ended_at < args.started_at else changed


def _booking(client: Client, booking_id: UUID) -> Booking | None:
    return Booking.objects.filter(client=client, pk=booking_id).first()


def _open_booking(client: Client, booking_id: UUID) -> None:
    """Raise Refused unless this client's booking is still to be done, and nobody has begun it."""
    booking = _booking(client, booking_id)
    if booking is None:
        raise Refused(
            "not_found",
            "The booking of this visit was not found.",
            "Book the visit again, then start it.",
            field="booking",
        )
    if booking.state != "booked" or Visit.objects.filter(booking=booking).exists():
        raise Refused(
            "booking_closed",
            "This booking is cancelled, begun or done.",
            "Make a new one.",
            field="booking",
        )


def _rests_on(client: Client, args: StartVisit, moment: datetime) -> None:
    """Raise Refused unless a visit names what it rests on: the newest screen and foot check of that
    moment, and a consent that stands."""
    screen, check = newest_screen(client, moment), newest_check(client, moment)
    if screen is None or screen.pk != args.screen:
        raise Refused("not_newest", "There is a newer health screen.", "Sync, read it.", "screen")
    if check is None or check.pk != args.check:
        raise Refused("not_newest", "There is a newer foot check.", "Sync, read it.", "check")
    consent = _own(Consent, client, args.consent)
    if consent is None or not allows_work(consent, moment):
        raise Refused(
            "not_found",
            "This consent was not found, or it was withdrawn.",
            "Sync, then choose the consent that stands.",
            field="consent",
        )


def _visit(act: Act, client: Client, args: StartVisit, state: str, moment: datetime) -> Visit:
    return Visit(
        id=args.visit,
        booking=_booking(client, args.booking),
        screen=_own(HealthScreen, client, args.screen),
        foot_check=_own(FootCheck, client, args.check),
        consent=_own(Consent, client, args.consent),
        state=state,
        started_at=args.started_at,
        judged_at=moment,
        **by(act, client),
    )


def _own(model: type[Record], client: Client, row_id: UUID) -> Record | None:
    """A record of this very client, or None: a report names what the device knew."""
    found: Record | None = model._default_manager.filter(client=client, pk=row_id).first()
    return found
