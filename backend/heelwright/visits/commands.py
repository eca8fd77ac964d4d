"""Starting a visit, which can be refused, and reporting one, which can't: care given is care
given."""

from typing import Any, TypeVar
from uuid import UUID

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.intake.models import ClientRecord, Consent, FootCheck, HealthScreen
from heelwright.intake.records import book_of, facts_about, newest_check, newest_screen
from heelwright.intake.rules import standing
from heelwright.people.access import client_for
from heelwright.people.models import Client
from heelwright.schedule.models import Booking
from heelwright.visits.arguments import CompleteVisit, StartVisit
from heelwright.visits.models import Visit
from heelwright.visits.rules import breaches

Record = TypeVar("Record", bound=ClientRecord)

WHY_NOT = {
    "referral_unanswered": "This client is referred, and no answer is on record yet.",
    "screen_before_answer": "The health questions were not asked again since the referral was answered.",
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
    _booking(act, client, args.booking)
    known = Visit.objects.filter(pk=args.visit).first()
    if known is not None:
        raise Refused("id_taken", "This visit has started already.", "Go on with it.", "visit")
    _newest(client, args)
    decided = standing(facts_about(client, args.started_at))
    if not decided.may_start:
        raise Refused(
            decided.reasons[0],
            WHY_NOT[decided.reasons[0]],
            "Do not start. Deal with this first; local rules and the client's clinician decide.",
            field="client",
        )
    act.put(_visit(act, client, args, "started"))


@command(Power.REPORT, CompleteVisit)
def complete_visit(act: Act, args: CompleteVisit) -> None:
    """Kept whatever it says. Where the work should not have been done, it goes to review
    instead."""
    client = client_for(act, args.client)
    booking = _booking(act, client, args.booking)
    known = Visit.objects.filter(pk=args.visit).first()
    if known is not None and (known.client_id != client.pk or known.state != "started"):
        raise Refused(
            "id_taken", "This visit is on record already.", "Nothing needs doing.", "visit"
        )
    if args.ended_at < args.started_at:
        raise Refused(
            "ends_before_start", "It ends before it starts.", "Check both times.", "ended_at"
        )
    visit = _visit(act, client, args, "ended_early" if args.ended_early else "completed")
    visit.ended_at = args.ended_at
    visit.record = args.model_dump(mode="json")
    doubts = _doubts(act, client, args, visit.record)
    if doubts:
        visit.state = "under_review"
    act.put(visit)
    for code, reasons in doubts.items():
        act.raise_incident(code, visit, reasons, client.pk)
    if visit.state == "completed" and booking.state == "booked":
        booking.state = "done"
        act.put(booking)


def _doubts(
    act: Act, client: Client, args: CompleteVisit, record: dict[str, Any]
) -> dict[str, list[str]]:
    """Why a report goes to review: {incident code: reasons}."""
    doubts: dict[str, list[str]] = {}
    facts = facts_about(client, args.started_at)
    decided = standing(facts)
    if not decided.may_start:
        doubts["visit_of_held_client"] = list(decided.reasons)
    if not act.sees(client.pk):
        doubts["client_of_others"] = ["client_of_others"]
    if facts.judgement is not None:
        bits = {b.id: b.model_dump() for b in book_of(act.practice).content.bits}
        past = breaches(facts.judgement["limits"], bits, record)
        if past:
            doubts["outside_limits"] = past
    return doubts


def _booking(act: Act, client: Client, booking_id: UUID) -> Booking:
    booking = Booking.objects.filter(practice=act.practice, client=client, pk=booking_id).first()
    if booking is None:
        raise Refused(
            "not_found",
            "The booking of this visit was not found.",
            "Book the visit again, then save it once more.",
            field="booking",
        )
    if not act.is_report and booking.state != "booked":
        raise Refused(
            "booking_closed", "This booking is cancelled or done.", "Make a new one.", "booking"
        )
    return booking


def _newest(client: Client, args: StartVisit) -> None:
    """A visit starts from the newest screen and foot check, and from nothing older."""
    screen, check = newest_screen(client), newest_check(client)
    if screen is not None and screen.pk != args.screen:
        raise Refused("not_newest", "There is a newer health screen.", "Sync, read it.", "screen")
    if check is not None and check.pk != args.check:
        raise Refused("not_newest", "There is a newer foot check.", "Sync, read it.", "check")


def _visit(act: Act, client: Client, args: StartVisit, state: str) -> Visit:
    return Visit(
        id=args.visit,
        practice=act.practice,
        client=client,
        staff=act.staff,
        rulebook=book_of(act.practice).version,
        booking_id=args.booking,
        screen=_own(HealthScreen, client, args.screen),
        foot_check=_own(FootCheck, client, args.check),
        consent=_own(Consent, client, args.consent),
        state=state,
        started_at=args.started_at,
    )


def _own(model: type[Record], client: Client, row_id: UUID) -> Record | None:
    """A record of this very client, or None: a report names what the device knew."""
    found: Record | None = model._default_manager.filter(client=client, pk=row_id).first()
    return found
