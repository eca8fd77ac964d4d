"""Judges what a device reports, as far as this edition of the book can read it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from heelwright.declarations import Refused
from heelwright.intake.records import judge
from heelwright.intake.rules import asks
from heelwright.people.models import Client
from heelwright.rulebook import InvalidAnswers

Answers = Mapping[str, Any]


@dataclass(frozen=True)
class Reading:
    """A judgement, and what it left out because it can't be read: fields such as `answers.flow` and
    `findings.0.what`."""

    judgement: dict[str, Any]
    unread: frozenset[str] = frozenset()

    def answers(self, given: Answers) -> dict[str, Any]:
        return {key: value for key, value in given.items() if f"answers.{key}" not in self.unread}

    def findings(self, given: Sequence[Answers]) -> list[Answers]:
        places = {field.split(".")[1] for field in self.unread if field.startswith("findings.")}
        return [finding for place, finding in enumerate(given) if str(place) not in places]


def read(
    client: Client,
    at: datetime,
    health: Answers,
    foot: Answers | None = None,
    findings: Sequence[Answers] = (),
) -> Reading:
    """Read a report. What can't be read is left out where the rest asks for somebody else's word:
    that must not be lost with it. Raises Refused where it does not."""
    try:
        return Reading(judge(client, at, health, foot, findings).as_json())
    except InvalidAnswers as invalid:
        first = invalid.problems[0]
        no = Refused(first.code, first.text, first.remedy, field=first.field)
        rest = Reading({}, frozenset(problem.field for problem in invalid.problems))
    feet, seen = rest.answers(foot or {}), rest.findings(findings)
    try:
        judgement = judge(client, at, rest.answers(health), feet, seen).as_json()
    except InvalidAnswers:
        raise no from None
    if not asks(judgement):
        raise no
    return Reading(judgement, rest.unread)
