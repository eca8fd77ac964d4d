"""Starting a visit, which can be refused, and reporting one, which can't: care given is care
given."""

from dataclasses import replace
from typing import TypeVar
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.intake.models import ClientRecord, Consent, FootCheck, HealthScreen
from heelwright.intake.records import book_of, by, facts_about, newest_check, newest_screen
from heelwright.intake.rules import Facts, consented, standing
from heelwright.people.access import client_for
from heelwright.people.models import Client
from heelwright.schedule.models import Booking
from heelwright.visits.arguments import CompleteVisit, StartVisit
from heelwright.visits.models import Visit
from heelwright.visits.rules import breaches

Record = TypeVar("Record", bound=ClientRecord)

WHY_NOT = {
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
    decided = standing(facts_about(client, args.started_at))
    if not decided.may_start:
        raise Refused(
            decided.reasons[0],
            WHY_NOT[decided.reasons[0]],
            "Do not start. Deal with this first; local rules and the client's clinician decide.",
            field="client",
        )
    _rests_on(client, args)
    act.put(_visit(act, client, args, "started"))


@command(Power.REPORT, CompleteVisit)
def complete_visit(act: Act, args: CompleteVisit) -> None:
    """Kept whatever it says. What should not have been done goes to review instead."""
    client = client_for(act, args.client)
    known = Visit.objects.filter(pk=args.visit).first()
    if known is not None and (known.client_id != client.pk or known.state != "started"):
        raise Refused(
            "id_taken", "This visit is on record already.", "Nothing needs doing.", "visit"
        )
    _check_times(act, args)
    visit = _visit(act, client, args, "ended_early" if args.ended_early else "completed")
    visit.ended_at = args.ended_at
    visit.record = args.model_dump(mode="json")
    doubts = _doubts(act, client, visit)
    if known is not None and known.started_at != visit.started_at:
        doubts["visit_times_changed"] = ["started_at"]
    if doubts or not act.sees(client.pk):
        visit.state = "under_review"
    act.put(visit)
    for code, reasons in doubts.items():
        act.raise_incident(code, visit, reasons, client.pk)
    booking = visit.booking
    if booking is not None and booking.state == "booked" and visit.state != "under_review":
        booking.state = "done"
        act.put(booking)


def _check_times(act: Act, args: CompleteVisit) -> None:
    if args.ended_at < args.started_at:
        raise Refused(
            "ends_before_start", "It ends before it starts.", "Check both times.", "ended_at"
        )
    act.not_ahead(args.ended_at, "ended_at")


def _doubts(act: Act, client: Client, visit: Visit) -> dict[str, list[str]]:
    """Why a report goes to review: {incident code: reasons}."""
    doubts: dict[str, list[str]] = {}
    facts = facts_about(client, visit.started_at)
    decided = standing(facts)
    reasons = decided.reasons or _consent_lost(facts, visit)
    if reasons:
        doubts["visit_of_held_client"] = list(reasons)
    named = {
        "booking": visit.booking,
        "screen": visit.screen,
        "check": visit.foot_check,
        "consent": visit.consent,
    }
    unknown = [field for field, row in named.items() if row is None]
    if unknown:
        doubts["visit_names_unknown"] = unknown
    if visit.booking is not None and visit.booking.state != "booked":
        doubts["visit_of_closed_booking"] = [visit.booking.state]
    if facts.judgement is not None:
        bits = {b.id: b.model_dump() for b in book_of(act.practice).content.bits}
        past = breaches(facts.judgement["limits"], bits, visit.record)
        if past:
            doubts["outside_limits"] = past
    return doubts


def _consent_lost(facts: Facts, visit: Visit) -> list[str]:
    """A client who says no while the work is being done ends it; it is then reported as such."""
    if visit.state == "ended_early" or visit.ended_at is None:
        return []
    return consented(replace(facts, at=visit.ended_at))


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


def _rests_on(client: Client, args: StartVisit) -> None:
    """Raise Refused unless a visit names what it rests on: the newest screen and foot check, and a
    consent that stands."""
    screen, check = newest_screen(client), newest_check(client)
    if screen is None or screen.pk != args.screen:
        raise Refused("not_newest", "There is a newer health screen.", "Sync, read it.", "screen")
    if check is None or check.pk != args.check:
        raise Refused("not_newest", "There is a newer foot check.", "Sync, read it.", "check")
    consent = _own(Consent, client, args.consent)
    if consent is None or hasattr(consent, "withdrawal"):
        raise Refused(
            "not_found",
            "This consent was not found, or it was withdrawn.",
            "Sync, then choose the consent that stands.",
            field="consent",
        )


def _visit(act: Act, client: Client, args: StartVisit, state: str) -> Visit:
    return Visit(
        id=args.visit,
        booking=_booking(client, args.booking),
        screen=_own(HealthScreen, client, args.screen),
        foot_check=_own(FootCheck, client, args.check),
        consent=_own(Consent, client, args.consent),
        state=state,
        started_at=args.started_at,
        **by(act, client),
    )


def _own(model: type[Record], client: Client, row_id: UUID) -> Record | None:
    """A record of this very client, or None: a report names what the device knew."""
    found: Record | None = model._default_manager.filter(client=client, pk=row_id).first()
    return found
