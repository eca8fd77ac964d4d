"""Pure decisions about people: ages, and what two people may change on one card at once."""

import re
import unicodedata
from collections.abc import Mapping
from datetime import date
from typing import Any, Literal, Protocol

Status = Literal["active", "in_hospital", "moved_away", "died"]
# Nobody who gets visits was born before.
EARLIEST_BIRTH = date(1901, 1, 1)


class HasStatus(Protocol):
    """`status` is one of `Status`; None on a card from before it was asked. `status_since` is an
    ISO date, where it is known."""

    @property
    def status(self) -> str | None: ...

    @property
    def status_since(self) -> str | None: ...


def age_on(born: date, day: date) -> int:
    """Whole years of age on a day. A birthday on 29 February counts from 1 March in other years."""
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))


def away(client: HasStatus) -> bool:
    """Whether a client gets no visits now: died, is in hospital, or moved away."""
    return client.status not in (None, "active")


def away_on(client: HasStatus, day: date) -> bool:
    """Whether a client was away on that day, by what the card says now."""
    since = client.status_since
    return away(client) and (not since or day >= date.fromisoformat(since))


def clashing_field(
    seen: int, versions: Mapping[str, int], now: Mapping[str, Any], changes: Mapping[str, Any]
) -> str | None:
    """The first changed field that somebody else has changed, to something else, since `seen`."""
    for field, value in changes.items():
        if versions.get(field, 0) > seen and now[field] != value:
            return field
    return None


# Said beside a name, and no part of it. From memory; common in English.
NO_NAMES = frozenset("mr mrs ms miss mx dr prof sir dame lady lord rev sr jr fr".split())
# Letters that Unicode does not take apart, as Latin is commonly written without them. From memory.
PLAIN = {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe"}
# Between two letters of one word: O'Neil, with whichever key the phone has for it.
APOSTROPHES = re.compile(
    "['`\N{RIGHT SINGLE QUOTATION MARK}\N{LEFT SINGLE QUOTATION MARK}"
    "\N{MODIFIER LETTER APOSTROPHE}\N{ACUTE ACCENT}]"
)


def likeness(name: str, born: str) -> frozenset[str]:
    """What two cards of one person are likely to share: the date of birth with each word of the
    name, in plain form and any order.

    A name without a word of two letters or more counts as one word.
    """
    words = _words(name)
    telling = {word for word in words if len(word) > 1} - NO_NAMES
    return frozenset(f"{born} {word}" for word in telling or {"".join(_named(name))})


def same_name(one: str, other: str) -> bool:
    """Whether two names are written alike: case, marks on letters, white space, order and titles
    make no difference. What has no letter is nobody's name.

    The twin is `domain/same-name.ts`.
    """
    return bool(name_keys(one) & name_keys(other))


def name_keys(name: str) -> frozenset[str]:
    """What two names have in common where they are written alike, one of them at least."""
    words = _named(name)
    return frozenset({" ".join(sorted(set(words))), "".join(words)} - {""})


def _named(name: str) -> list[str]:
    words = _words(name)
    return [word for word in words if word not in NO_NAMES] or words


def _words(name: str) -> list[str]:
    folded = unicodedata.normalize("NFKD", APOSTROPHES.sub("", name)).casefold()
    return "".join(map(_plain, unicodedata.normalize("NFKD", folded))).split()


def _plain(letter: str) -> str:
    """Letters stay, marks on them go, anything else parts words."""
    sort = unicodedata.category(letter)[0]
    return PLAIN.get(letter, letter) if sort == "L" else "" if sort == "M" else " "


BLANK_CARD: dict[str, Any] = {
    "name": "",
    "born": "",
    "address": "",
    "position": None,
    "phone": "",
    "email": "",
    "facility": None,
    "room": "",
    "corridor": None,
    "see_last": None,
    "visit_times": None,
    "preferred_staff": None,
    "may_wait": None,
    "needs_skills": None,
    "contact_name": "",
    "contact_phone": "",
    "contact_role": "",
    "decides_for_self": True,
    "note": "",
    "entry_note": None,
    "status": None,
    "status_since": None,
}
HOME = ("address", "position", "entry_note")
LIVES_AT = ("facility", "room", "corridor")
CONTACT = ("contact_name", "contact_phone", "contact_role")
STATUS = ("status", "status_since")
ALONE = (("phone",), ("email",), ("visit_times",), ("preferred_staff",))


def joined(stays: Mapping[str, Any], goes: Mapping[str, Any]) -> dict[str, Any]:
    """One card out of two of the same person.

    The first one's word stands; what it leaves blank the second fills in, things that go together
    only together. Both notes are kept. Where the two disagree on what makes the work stricter, the
    stricter stands: who does not decide for themselves on one card, is away, or is seen last, is
    so on the one.
    """
    card = dict(stays)
    for group in (HOME, *ALONE, LIVES_AT, CONTACT):
        if not any(stays[f] for f in group):
            card |= {f: goes[f] for f in group}
    if goes["address"] == card["address"]:
        card |= {f: goes[f] for f in ("position", "entry_note") if not card[f]}
    if goes["status"] not in (None, "active") and stays["status"] in (None, "active"):
        card |= {f: goes[f] for f in STATUS}
    card["see_last"] = stays["see_last"] or goes["see_last"]
    card["decides_for_self"] = stays["decides_for_self"] and goes["decides_for_self"]
    # Only who may wait by both cards may; what either asks of a technician is asked.
    card["may_wait"] = stays["may_wait"] and goes["may_wait"]
    card["needs_skills"] = sorted({*(stays["needs_skills"] or []), *(goes["needs_skills"] or [])})
    if goes["note"] not in stays["note"]:
        card["note"] = "\n".join(filter(None, (stays["note"], goes["note"])))
    return card


def milder(before: Mapping[str, Any], changes: Mapping[str, Any]) -> list[str]:
    """The changed fields of a card by which fewer questions are asked, or another may sign: a
    client who becomes younger, or who decides for themselves again."""
    found = []
    if changes.get("born", "") > before["born"]:
        found.append("born")
    if changes.get("decides_for_self") and not before["decides_for_self"]:
        found.append("decides_for_self")
    return found
