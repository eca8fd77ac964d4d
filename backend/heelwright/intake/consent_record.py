"""The printable record of a sitting: who decided what, how it was signed, and how to verify it."""

from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.commandlog.registry import document
from heelwright.declarations import Document, Refused
from heelwright.intake.may_read import day_of, may_read, minute_of
from heelwright.intake.models import Consent, ConsentSheet
from heelwright.intake.shown import Shown, ShownText, digest
from heelwright.intake.signed import Capacity
from heelwright.people.books import book_of
from heelwright.rulebook.consent_texts import shown_as
from heelwright.tenancy.models import Device

HOW = {
    "drawn": "With a finger on the technician's phone",
    "mark": "By a mark, with a witness",
    "paper": "On paper, which was photographed",
    "unsigned": "Not signed",
}
ON_THEIR_OWN = {
    "drawn": "With a finger on a phone of the client's side, by a link",
    "mark": "By a mark on a phone of the client's side, by a link, with a witness",
    "unsigned": "Not signed; answered on a phone of the client's side, by a link",
}
GROUND = {
    "": "",
    "guardian": "Guardian, named by a court",
    "health_attorney": "Power of attorney for health",
    "facility_record": "The facility's record names them",
    "other": "Another right",
}
PRESENTED = {
    "read_self": "Read by the signer",
    "read_aloud": "Read aloud",
    "large_print": "In large print",
}
PLACE = {"client_home": "At the client's home", "facility": "At the facility", "other": ""}
ABILITIES = ("understands", "keeps", "weighs", "says")


def consent_record(reader: Device, row_id: UUID) -> dict[str, Any]:
    """Everything on the record as text; raises Refused where the reader may not have it."""
    sheet = (
        ConsentSheet.objects.select_related("practice", "client", "staff")
        .filter(practice=reader.practice, pk=row_id)
        .first()
    )
    # What was found of the client's mind is health: not for a coordinator.
    if sheet is None or not may_read(reader, sheet.client_id, "health_screen"):
        raise Refused("not_found", "This record was not found.", "Sync, look again.", "row_id")
    at = sheet.decided_at.astimezone(ZoneInfo(sheet.practice.zone))
    return {
        "written_at": sheet.decided_at.isoformat(),
        "written_on": minute_of(at),
        "practice": sheet.practice.name,
        "invented": sheet.practice.invented,
        "technician": sheet.staff.name,
        "client": sheet.client.name,
        "client_id": str(sheet.client_id),
        "born": day_of(date.fromisoformat(sheet.client.born)),
        "sheet": str(sheet.pk),
        "picture": sheet.picture,
        **_signed(sheet),
        **_shown(sheet),
    }


def _signed(sheet: ConsentSheet) -> dict[str, str]:
    by_client = sheet.signer_role == "client"
    who = "the client" if by_client else "for the client"
    right = ", ".join(filter(None, [GROUND[sheet.ground], sheet.authority]))
    return {
        "signer": f"{sheet.signer_name}, {who}",
        "ground": "" if by_client else right,
        "capacity": _capacity(sheet.capacity) if by_client else "",
        "place": ", ".join(filter(None, [PLACE[sheet.place_kind], sheet.place])),
        "presented": PRESENTED[sheet.presented],
        "language": sheet.language,
        "how": (ON_THEIR_OWN if sheet.device_kind == "client_phone" else HOW)[sheet.how],
        "witness": sheet.witness,
        "said": sheet.said,
    }


def _capacity(found: dict[str, bool | None]) -> str:
    """What was found of each, in words; what was not asked is not passed over."""
    word = {True: "yes", False: "no", None: "not said"}
    return ", ".join(f"{one}: {word[found.get(one)]}" for one in ABILITIES)


def _shown(sheet: ConsentSheet) -> dict[str, Any]:
    rows = list(sheet.decisions.select_related("withdrawal").order_by("position"))
    content = book_of(sheet.practice).content
    found = [shown_as(content, row.text_id, row.text_version or 0, sheet.language) for row in rows]
    return {
        "decisions": [
            _decision(row, sheet, texts or (row.text_id, "The words are not in this book."))
            for row, texts in zip(rows, found, strict=True)
        ],
        "shown": sheet.shown_sha256,
        "matches": _matches(sheet, rows, found),
    }


def _decision(row: Consent, sheet: ConsentSheet, texts: tuple[str, str]) -> dict[str, Any]:
    end = getattr(row, "withdrawal", None)
    return {
        "title": texts[0],
        "version": row.text_version,
        "answer": "Yes" if row.agreed else "No",
        "since": f"Taken back on {day_of(end.ends_at)}." if end else _doubt(row, sheet),
        "words": [part for part in texts[1].split("\n") if part.strip()],
    }


def _doubt(row: Consent, sheet: ConsentSheet) -> str:
    if row.counts:
        return ""
    if sheet.signer_role == "representative" or Capacity(**sheet.capacity).able:
        return "Does not count: the link to sign had ended when this came."
    return "Does not count: nobody said that the client can decide."


def _matches(sheet: ConsentSheet, rows: list[Consent], found: list[tuple[str, str] | None]) -> str:
    texts = [
        ShownText(row.text_id, row.text_version or 0, *shown, row.agreed)
        for row, shown in zip(rows, found, strict=True)
        if shown
    ]
    signer = (sheet.signer_name, sheet.signer_role, sheet.ground, sheet.authority)
    made = digest(Shown(sheet.language, sheet.presented, *signer, texts))
    if made == sheet.shown_sha256:
        return "This is the digest of the texts, answers and signer as printed here."
    return "The digest is not that of what is printed here: look at the record before you use it."


document(Document("consent_record", Path(__file__).parent / "consent_record.typ", consent_record))
