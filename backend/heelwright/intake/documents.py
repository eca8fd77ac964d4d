"""The referral letter: from which records it is made, and who may have it."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused
from heelwright.intake import consent_record, letter  # noqa: F401 - declares its paper
from heelwright.intake.due import due_on
from heelwright.intake.foot_map import drawings
from heelwright.intake.may_read import day_of, may_read, minute_of
from heelwright.intake.models import FootCheck, HealthScreen, Referral
from heelwright.intake.records import age_at, local_day
from heelwright.intake.rules import serious
from heelwright.people.books import book_of
from heelwright.tenancy.models import Device


def referral_letter(reader: Device, row_id: UUID) -> dict[str, Any]:
    """Everything on the letter as text; raises Refused where the reader may not have it."""
    referral = (
        Referral.objects.select_related("practice", "client", "staff")
        .filter(practice=reader.practice, pk=row_id)
        .first()
    )
    if referral is None or not may_read(reader, referral.client_id, "referral"):
        raise Refused("not_found", "This letter was not found.", "Sync, look again.", "row_id")
    made_at = referral.made_at.astimezone(ZoneInfo(referral.practice.zone))
    return {
        "written_at": referral.made_at.isoformat(),
        "written_on": minute_of(made_at),
        "practice": referral.practice.name,
        "reply_to": referral.practice.reply_to,
        "invented": referral.practice.invented,
        "technician": referral.staff.name,
        **_client(referral),
        **_content(referral),
    }


def _client(referral: Referral) -> dict[str, str]:
    client = referral.client
    born = day_of(date.fromisoformat(client.born))
    return {
        "client": client.name,
        "born": f"{born} ({age_at(client, referral.made_at)} years)",
        "address": client.address or _room(referral),
        "phone": client.phone,
    }


def _room(referral: Referral) -> str:
    house, room = referral.client.facility, referral.client.room
    if house is None:
        return ""
    return ", ".join(filter(None, [house.name, room and f"room {room}", house.address]))


def _content(referral: Referral) -> dict[str, Any]:
    book, judgement = book_of(referral.practice), referral.judgement
    screen, check = _made_by(referral)
    fired, asked = judgement["fired"], judgement["referral"]
    return {
        "emergency": judgement["outcome"] == "emergency",
        "refer_to": letter.REFER_TO[asked["refer_to"]],
        "reasons": letter.reasons(book, fired),
        "answered_by": _answered_by(screen),
        "told": letter.told(book, "health", screen.answers if screen else {}, fired),
        "looked": check is not None,
        "seen": letter.told(book, "foot", check.answers, fired) if check else [],
        "findings": letter.findings(referral.findings, _looks(referral)),
        "drawings": drawings(referral.findings),
        "words": _words(referral, asked["within"]),
    }


def _made_by(referral: Referral) -> tuple[HealthScreen | None, FootCheck | None]:
    """The records that a referral comes from; the last of them made it."""
    if referral.from_kind == "health_screen":
        return HealthScreen.objects.get(pk=referral.record_id), None
    check = FootCheck.objects.select_related("screen").get(pk=referral.record_id)
    return check.screen, check


def _looks(referral: Referral) -> Iterator[letter.Look]:
    for check in FootCheck.objects.filter(client=referral.client):
        yield day_of(local_day(referral.practice, check.checked_at)), check.findings


def _answered_by(screen: HealthScreen | None) -> str:
    if screen is None:
        return letter.WORDS["not_asked"]
    who = letter.ANSWERED_BY[screen.answered_by]
    name = f", {screen.answered_by_name}" if screen.answered_by_name else ""
    return letter.WORDS["answered_by"].format(who=who + name)


def _urgency(referral: Referral, within: str) -> str:
    """How urgent, with the day that it comes to."""
    said = letter.WITHIN[within]
    if within == "now":
        return said
    key = "within_on" if within == "same_day" else "within_by"
    return letter.WORDS[key].format(within=said, due=_due_day(referral, within))


def _due_day(referral: Referral, within: str) -> str:
    due = due_on(local_day(referral.practice, referral.made_at), within)
    return f"{due:%A} {day_of(due)}"


def _words(referral: Referral, within: str) -> dict[str, str]:
    words = letter.WORDS
    due = _due_day(referral, within)
    kind = "" if serious(referral.judgement) else "_clearance"
    return words | {
        "emergency": words["emergency"].format(what=words["emergency_means"]),
        "title": words[f"title{kind}"],
        "opening": words[f"opening{kind}"],
        "within": words[f"within{kind}"].format(within=_urgency(referral, within)),
        "due": words["due_now"] if within == "now" else words["due"].format(due=due),
        "from": words["from"].format(name=referral.staff.name, practice=referral.practice.name),
    }


document(
    Document("referral_letter", Path(__file__).parent / "referral_letter.typ", referral_letter)
)
