"""The arguments of everything that is said about one client on one day, from card to visit record.

The clients are invented. What the phone would have shown is judged by the rulebook itself.
"""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from itertools import count
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from heelwright.ids import new_id
from heelwright.people.rules import age_on
from heelwright.rulebook import book_for
from tests.standards.clients import WELL, Answers
from tests.system.practice import ZONE

Args = dict[str, Any]
PARTS = {q.id: group.part for group in book_for(None).content.groups for q in group.questions}
BORN = date(1975, 4, 2)

FREE = count(1)


def noon_today() -> datetime:
    """By the clocks of the tests' practices."""
    return datetime.now(ZoneInfo(ZONE)).replace(hour=12, minute=0, second=0, microsecond=0)


def free_time() -> datetime:
    """An hour after tomorrow's first for which this run has booked nobody yet."""
    return datetime.now(UTC).replace(minute=0) + timedelta(days=1, hours=next(FREE))


@dataclass
class HomeVisit:
    """`answers` holds health and foot answers together. Each method gives a command's arguments."""

    staff: UUID
    answers: Answers = field(default_factory=lambda: dict(WELL))
    findings: Sequence[Mapping[str, Any]] = ()
    arrived: datetime = field(default_factory=lambda: datetime.now(UTC) - timedelta(minutes=50))
    starts_at: datetime = field(default_factory=free_time)
    client: UUID = field(default_factory=new_id)
    booking: UUID = field(default_factory=new_id)
    screen: UUID = field(default_factory=new_id)
    check: UUID = field(default_factory=new_id)
    consent: UUID = field(default_factory=new_id)
    visit: UUID = field(default_factory=new_id)
    mishap: UUID = field(default_factory=new_id)

    def card(self, **more: Any) -> Args:
        return {"client": self.client, "name": "Ida Invented", "born": str(BORN)} | more

    def booked(self, **more: Any) -> Args:
        when = {"starts_at": self.starts_at, "minutes": 40, "place": "home"}
        return {"booking": self.booking, "client": self.client, "staff": self.staff} | when | more

    def screened(self, **more: Any) -> Args:
        health = self._part("health")
        who = {"answered_by": "client", "answered_by_name": "", "screened_at": self.after(1)}
        shown = {"shown_outcome": self._outcome(health, ())}
        return (
            {"screen": self.screen, "client": self.client, "answers": health} | who | shown | more
        )

    def checked(self, **more: Any) -> Args:
        shown = {"shown_outcome": self._outcome(self.answers, self.findings)}
        seen = {"answers": self._part("foot"), "findings": list(self.findings)}
        ids = {"check": self.check, "client": self.client, "screen": self.screen}
        return ids | seen | {"checked_at": self.after(5)} | shown | more

    def signed(self, **more: Any) -> Args:
        line = [{"x": x, "y": x * 2, "t": x * 10} for x in range(5)]
        words = book_for(None).as_json()["words"]["en"]["consent.foot_care"]
        text = {"text_id": "foot_care", "text_hash": hashlib.sha256(words.encode()).hexdigest()}
        signer = {"signer_name": "Ida Invented", "signer_role": "client", "authority": ""}
        how = {"presented": "read_aloud", "own_wish": True, "strokes": [line]}
        ids = {"consent": self.consent, "client": self.client}
        return ids | text | signer | how | {"signed_at": self.after(8)} | more

    def started(self, **more: Any) -> Args:
        names = ("visit", "booking", "client", "screen", "check", "consent")
        return {name: getattr(self, name) for name in names} | {"started_at": self.after(9)} | more

    def completed(self, **more: Any) -> Args:
        bit = {"family": "diamond_large", "head_mm": 10, "rpm": 15_000, "places": ["heel"]}
        return self.started() | {"ended_at": self.after(40), "bits": [bit], "note": ""} | more

    def went_wrong(self, **more: Any) -> Args:
        told = [{"who": "family", "name": "Bo Untrue", "at": self.after(35).isoformat()}]
        what = {"kind": "nick", "what_happened": "The bit slipped at the left heel."}
        ids = {"mishap": self.mishap, "client": self.client, "visit": self.visit}
        return ids | what | {"told": told, "happened_at": self.after(30)} | more

    def after(self, minutes: int) -> datetime:
        return self.arrived + timedelta(minutes=minutes)

    def _part(self, part: str) -> Answers:
        return {key: value for key, value in self.answers.items() if PARTS[key] == part}

    def _outcome(self, answers: Answers, findings: Sequence[Mapping[str, Any]]) -> str:
        age = age_on(BORN, self.arrived.date())
        return book_for(None).judge(answers, findings, age).outcome
