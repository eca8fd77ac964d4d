"""What records of the last hours asked a clearance for, each by itself and every two together.

Answering otherwise, or looking again, takes no such need back (docs/no-way-past.md).
`pwa/src/routes/client/asked-before.ts` does alike.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import product
from typing import Any
from uuid import UUID

from heelwright.intake.models import FootCheck, HealthScreen
from heelwright.intake.records import happened_at, in_itself, judge, records_between
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.rulebook import InvalidAnswers

Record = HealthScreen | FootCheck


@dataclass(frozen=True)
class Released:
    """A referral that a clinician's yes has released, with when that was written down and the rules
    that the referral named."""

    record: UUID
    at: datetime
    rules: frozenset[str]

    def speaks_of(self, records: Sequence[Record], rule: str) -> bool:
        """A record that came after the yes speaks for itself."""
        made_it = [record.pk for record in records] == [self.record]
        said_before = any(happened_at(record) <= self.at for record in records)
        return said_before and (made_it or rule in self.rules)


def asked_before(client: Client, at: datetime, released: Sequence[Released]) -> set[str]:
    """The rules by which records asked for a clearance within the hours for which such a need
    stays; slips aside, and what a clinician has said yes to since."""
    hours = book_of(client.practice).content.settings.need_stays_hours
    since = at - timedelta(hours=hours)
    records = [
        each for each in records_between(client, since, at) if not hasattr(each, "error_mark")
    ]
    return {
        rule
        for said, judgement in _read(client, records)
        for rule in needs(judgement)
        if not any(yes.speaks_of(said, rule) for yes in released)
    }


def needs(judgement: Mapping[str, Any]) -> set[str]:
    """The rules of a judgement that ask for a clearance."""
    return {rule["id"] for rule in judgement["fired"] if rule["outcome"] == "needs_clearance"}


def _read(
    client: Client, records: Sequence[Record]
) -> Iterator[tuple[Sequence[Record], Mapping[str, Any]]]:
    for record in records:
        yield [record], in_itself(record)
    screens = [each for each in records if isinstance(each, HealthScreen)]
    checks = [each for each in records if isinstance(each, FootCheck)]
    for screen, check in product(screens, checks):
        # What a check came to by itself was with the screen that it names.
        if check.screen_id == screen.pk:
            continue
        with suppress(InvalidAnswers):
            at = max(happened_at(screen), happened_at(check))
            both = judge(client, at, screen.answers, check.answers, check.findings)
            yield [screen, check], both.as_json()
