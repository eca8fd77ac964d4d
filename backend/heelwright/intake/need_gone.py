"""Needs for a clearance that were said before this visit, and that nobody speaks of any more.

People get well, and papers turn up; that a need has gone without a clinician's word is for the
owner to know (docs/no-way-past.md).
"""

from datetime import datetime

from heelwright.intake.asked_before import needs
from heelwright.intake.clearances import covered
from heelwright.intake.facts import released_referrals, settled_later
from heelwright.intake.records import in_itself, records_between
from heelwright.intake.rules import Facts, may_ask
from heelwright.people.books import book_of
from heelwright.people.models import Client


def needs_gone(client: Client, facts: Facts, since: datetime) -> list[str]:
    """In words, the rules by which records from a moment up to `facts.at` asked for a clearance,
    slips aside: which what counts then neither asks nor may ask, no clearance in force covers, no
    clinician has said yes to, and no later look may settle."""
    said = {
        rule
        for record in records_between(client, since, facts.at)
        if not hasattr(record, "error_mark")
        for rule in needs(in_itself(record))
    }
    if not said:
        return []
    gone = said - _still_known(client, facts)
    content = book_of(client.practice).content
    words = content.words["en"]
    return sorted(words.get(f"rule.{rule}", rule) for rule in gone - settled_later(client.practice))


def _still_known(client: Client, facts: Facts) -> set[str]:
    asks = may_ask(facts.judgement) if facts.judgement else set[str]()
    answered = {rule for yes in released_referrals(client, facts.at) for rule in yes.rules}
    return asks | covered(facts.clearances, facts.at, facts.day) | answered
