"""Why the report of a visit goes to review: what should have kept it from being made, and what of
it went past its limits."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from heelwright.commandlog.act import Act
from heelwright.commandlog.models import Incident
from heelwright.intake.clearances import in_force, narrowed
from heelwright.intake.records import local_day
from heelwright.intake.rules import Facts, consented, standing
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.people.rules import away_on
from heelwright.schedule.models import Booking
from heelwright.visits.models import Mishap, Visit
from heelwright.visits.rules import breaches

HELD = "visit_of_held_client"
WHOLE = "visit_told_as_whole"


def doubts_about(
    act: Act, facts: Facts, visit: Visit, not_begun: Sequence[str]
) -> dict[str, list[str]]:
    """{incident code: reasons}. `facts` are those about the client when it was begun, `not_begun`
    is why its start was refused."""
    doubts: dict[str, list[str]] = {}
    held = list(dict.fromkeys([*not_begun, *held_by(facts, visit)]))
    if held:
        doubts["visit_of_held_client"] = held
    if absent(visit.client, visit.judged_at):
        doubts["visit_of_absent_client"] = [str(visit.client.status)]
    unknown = _unknown(visit)
    if unknown:
        doubts["visit_names_unknown"] = unknown
    if visit.booking is not None and visit.booking.state != "booked":
        doubts["visit_of_closed_booking"] = [visit.booking.state]
    elif visit.booking is not None and (moved := _moved(act, visit, visit.booking)):
        doubts["visit_of_moved_booking"] = moved
    if whole := told_as_whole(visit):
        doubts[WHOLE] = whole
    if facts.judgement is not None:
        bits = {b.id: b.model_dump() for b in book_of(act.practice).content.bits}
        cleared = in_force(facts.clearances, facts.at, facts.day)
        past = breaches(narrowed(facts.judgement["limits"], cleared), bits, visit.record)
        if past:
            doubts["outside_limits"] = past
    return doubts


def tell(act: Act, visit: Visit, doubts: Mapping[str, list[str]]) -> None:
    """Raise an incident for each doubt, without what was told already while the visit went on."""
    for code, reasons in doubts.items():
        new = untold(visit, reasons) if code == HELD else reasons
        if new:
            act.raise_incident(code, visit, new, visit.client_id)


def held_by(facts: Facts, visit: Visit) -> list[str]:
    """Why a visit should not have begun; or, where it might, why it should not have gone on.

    A client who says no while the work is being done ends it; it is then reported as such.
    """
    reasons = standing(facts).reasons
    if reasons or visit.ended_at is None or visit.record["ended_early"]:
        return list(reasons)
    ended = max(visit.counted(visit.ended_at), visit.judged_at)
    return consented(replace(facts, at=ended))


def untold(visit: Visit, reasons: Iterable[str]) -> list[str]:
    """The reasons that no incident about this visit has named yet."""
    told = Incident.objects.filter(about="visit", about_id=visit.pk, code=HELD)
    known = {reason for incident in told for reason in incident.reasons}
    return [reason for reason in reasons if reason not in known]


def told_as_whole(visit: Visit) -> list[str]:
    """Why a visit that was told as done whole was not: something went wrong, and it stopped."""
    if visit.ended_at is None or visit.record["ended_early"]:
        return []
    stopped = Mishap.objects.filter(client=visit.client_id, visit_ref=visit.pk, visit_stopped=True)
    return ["visit_stopped"] if stopped.exists() else []


def absent(client: Client, moment: datetime) -> bool:
    return away_on(client, local_day(client.practice, moment))


def _unknown(visit: Visit) -> list[str]:
    named = {
        "booking": visit.booking,
        "screen": visit.screen,
        "check": visit.foot_check,
        "consent": visit.consent,
    }
    return [field for field, row in named.items() if row is None]


def _moved(act: Act, visit: Visit, booking: Booking) -> list[str]:
    """What somebody else has made of the booking since the phone saw it: another day, or another
    person."""
    seen = visit.record["seen_booking"]
    if seen is None or not act.changed_elsewhere(booking, seen):
        return []
    days = (local_day(act.practice, at) for at in (booking.starts_at, visit.judged_at))
    moved = []
    if len(set(days)) > 1:
        moved.append("booked_for_another_day")
    if booking.staff_id != visit.staff_id:
        moved.append("booked_for_somebody_else")
    return moved
