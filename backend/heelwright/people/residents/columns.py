"""Which column of a file holds what, by the name that stands above it. No Django.

The names are from memory, English as such lists are commonly headed; no source.
"""

import re
import unicodedata
from collections.abc import Mapping, Sequence

from heelwright.declarations import Refused

NAMES: Mapping[str, str] = {
    "name": "name, full name, resident, resident name, client, client name, patient, patient name",
    "given": "first name, forename, given name, given names, first names, firstname",
    "family": "last name, surname, family name, lastname",
    "born": "born, date of birth, birth date, birthdate, dob, d o b, birthday",
    "room": "room, room number, room no, flat, unit, bed, room bed",
    "corridor": "corridor, wing, floor, hall, unit name, area, ward",
    "phone": "phone, telephone, phone number, tel, mobile",
    "email": "email, e mail, email address",
    "contact_name": "contact, contact name, next of kin, contact person, family contact",
    "contact_role": "contact role, relationship, relation, who they are",
    "contact_phone": "contact phone, contact telephone, next of kin phone, contact number",
    "see_last": "see last, seen last, last",
}
FIELD = {name: field for field, names in NAMES.items() for name in names.split(", ")}


def fields_of(header: Sequence[str]) -> list[str | None]:
    """For each column what it holds, or None where that is not known and it is passed over. Raises
    Refused where there is no name or no date of birth, or one thing twice."""
    fields = [FIELD.get(_plain(name)) for name in header]
    for field in FIELD.values():
        if fields.count(field) > 1:
            raise _bad("column_twice", f"Two columns are headed as {_said(field)}.", "Rename one.")
    if "name" not in fields and not {"given", "family"} <= set(fields):
        raise _bad(
            "column_missing",
            "No column is headed as the name.",
            "Head it Name in the first line, or two columns First name and Last name.",
        )
    if "born" not in fields:
        raise _bad(
            "column_missing",
            "No column is headed as the date of birth.",
            "Head it Date of birth in the first line.",
        )
    return fields


def _bad(code: str, text: str, remedy: str) -> Refused:
    return Refused(code, text, remedy, field="file")


def _said(field: str) -> str:
    return NAMES[field].split(", ")[0]


def _plain(name: str) -> str:
    folded = unicodedata.normalize("NFKD", name).casefold()
    return " ".join(re.findall("[a-z]+", folded))
