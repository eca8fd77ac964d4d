"""The referral letter: what was found, why work was not done, and who is asked to look."""

from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.commandlog.models import Access
from heelwright.commandlog.permissions import may_see
from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused, Role
from heelwright.intake.models import Referral
from heelwright.intake.records import book_of
from heelwright.tenancy.models import Device


def referral_letter(reader: Device, row_id: UUID) -> dict[str, Any]:
    """Everything on the letter as text; raises Refused where the reader may not have it."""
    referral = (
        Referral.objects.select_related("practice", "client", "staff")
        .filter(practice=reader.practice, pk=row_id)
        .first()
    )
    if referral is None or not _may_read(reader, referral.client_id):
        raise Refused("not_found", "This letter was not found.", "Sync, look again.", "row_id")
    words = book_of(referral.practice).content.words["en"]
    judgement = referral.judgement
    asked = judgement["referral"]
    made = referral.made_at.astimezone(ZoneInfo(referral.practice.zone))
    return {
        "practice": referral.practice.name,
        "invented": referral.practice.invented,
        "made_on": f"{made:%d %B %Y, %H:%M}",
        "technician": referral.staff.name,
        "client": referral.client.name,
        "born": referral.client.born,
        "urgency": URGENCY[asked["within"]],
        "refer_to": REFER_TO[asked["refer_to"]],
        "reasons": [
            words[f"rule.{rule['id']}"]
            for rule in judgement["fired"]
            if rule["outcome"] in {"refer_first", "emergency", "needs_clearance"}
        ],
        "findings": [_finding(f) for f in referral.findings],
    }


URGENCY = {
    "now": "Emergency: now",
    "same_day": "To be seen today",
    "one_working_day": "To be seen within one working day",
    "days": "To be seen within days",
    "weeks": "To be seen within weeks",
}
REFER_TO = {
    "emergency_services": "Emergency services",
    "foot_team": "Foot protection team or podiatrist",
    "gp": "General practitioner or family doctor",
    "specialist_nurse": "Specialist nurse",
    "pharmacist": "Pharmacist",
}


def _may_read(reader: Device, client: UUID) -> bool:
    role = Role(reader.staff.role)
    if not may_see("referral", role):
        return False
    if role is Role.OWNER:
        return True
    return Access.objects.filter(staff=reader.staff, scope=client, until=None).exists()


def _finding(finding: dict[str, Any]) -> str:
    """One line: where, what, and how large."""
    parts = [f"{finding['foot']} foot, {finding['view']}, {finding['region']}: {finding['what']}"]
    if finding["length_mm"] is not None:
        parts.append(f"{finding['length_mm']:g} mm long")
    if finding["depth_mm"] is not None:
        parts.append(f"{finding['depth_mm']:g} mm deep")
    parts += [word for word in ("bleeding", "oozing") if finding[word]]
    if finding["state"]:
        parts.append(finding["state"])
    return ", ".join(parts).replace("_", " ")


document(
    Document("referral_letter", Path(__file__).parent / "referral_letter.typ", referral_letter)
)
