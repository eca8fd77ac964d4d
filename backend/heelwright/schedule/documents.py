"""A round on paper: the door list for those who walk it, and the handover sheet for the house."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright import clock
from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused
from heelwright.intake.may_read import day_of, may_read, minute_of
from heelwright.schedule.models import Booking, Round
from heelwright.schedule.rounds import stops_of
from heelwright.tenancy.models import Device

# Why somebody was not seen, and what the house does next. Nothing here says more than whoever
# opened the door saw, or what a coordinator is told anyway (decision 0196).
NOT_SEEN = {
    "not_in": ("Not in", "Say when they are in, and book again."),
    "no_access": ("Could not get in", "Say how to get in, and book again."),
    "asleep": ("Asleep", "Book again, for another time of day."),
    "refused": ("Did not want it today", "Ask them whether they want another visit."),
    "unwell": ("Not able to today", "Say when they can be visited."),
    "in_hospital": ("Away from the house", "Say when they are back."),
    "not_ready": ("No visit can go ahead yet", "Ask the practice."),
    "no_time": ("No time left", "Book again: the practice did not get to them."),
}
OTHERWISE = ("Not seen", "Ask the practice.")


def door_list(reader: Device, row_id: UUID) -> dict[str, Any]:
    of = _round(reader, row_id)
    stops = [stop for stop in _stops(reader, of) if stop.state != "cancelled"]
    return _head(of) | {
        "stops": [
            {
                "time": _at(stop),
                "room": stop.client.room,
                "corridor": stop.client.corridor or "",
                "name": stop.client.name,
                "minutes": str(stop.minutes),
                "who": stop.staff.name,
            }
            for stop in stops
        ]
    }


def handover_sheet(reader: Device, row_id: UUID) -> dict[str, Any]:
    of = _round(reader, row_id)
    stops = _stops(reader, of)
    following = _following(of)
    return _head(of) | {
        "seen": [_who(stop) | {"next": _next(stop)} for stop in stops if stop.state == "done"],
        "missed": list(_missed(stops)),
        "open": [_who(stop) for stop in stops if stop.state == "booked"],
        "following": day_of(following.day) if following else "",
        "reply_to": of.practice.reply_to,
    }


def _round(reader: Device, row_id: UUID) -> Round:
    """Raises Refused where the reader does not have the house."""
    rounds = Round.objects.select_related("practice", "facility")
    found = rounds.filter(practice=reader.practice, pk=row_id).first()
    if found is None or not may_read(reader, found.facility_id, "round"):
        raise Refused("not_found", "This round was not found.", "Sync, look again.", "row_id")
    return found


def _head(of: Round) -> dict[str, Any]:
    now = clock.now()
    return {
        "written_at": now.isoformat(),
        "written_on": minute_of(now.astimezone(ZoneInfo(of.practice.zone))),
        "practice": of.practice.name,
        "invented": of.practice.invented,
        "facility": of.facility.name,
        "day": f"{of.day:%A} {day_of(of.day)}",
        "note": of.note,
    }


def _stops(reader: Device, of: Round) -> list[Booking]:
    """Without those to whoever moved out since: where they live now, and when they are visited
    there, is not for the house."""
    stops = stops_of(of).select_related("client", "staff", "practice")
    return [stop for stop in stops if may_read(reader, stop.client_id, "booking")]


def _missed(stops: list[Booking]) -> Iterator[dict[str, str]]:
    for stop in stops:
        if stop.state == "not_seen":
            why, then = NOT_SEEN.get(stop.reason or "", OTHERWISE)
            yield _who(stop) | {"why": why, "then": then, "next": _next(stop)}


def _who(stop: Booking) -> dict[str, str]:
    return {"room": stop.client.room, "name": stop.client.name}


def _next(stop: Booking) -> str:
    later = Booking.objects.filter(
        client=stop.client_id, state="booked", starts_at__gt=stop.starts_at
    )
    found = later.order_by("starts_at").first()
    return day_of(_local(found)) if found else ""


def _following(of: Round) -> Round | None:
    later = Round.objects.filter(facility=of.facility_id, state="planned", day__gt=of.day)
    return later.order_by("day").first()


def _local(booking: Booking) -> datetime:
    return booking.starts_at.astimezone(ZoneInfo(booking.practice.zone))


def _at(booking: Booking) -> str:
    return f"{_local(booking):%H:%M}"


HERE = Path(__file__).parent
document(Document("door_list", HERE / "door_list.typ", door_list))
document(Document("handover_sheet", HERE / "handover_sheet.typ", handover_sheet))
