"""Answers and feet that asked for a clearance, and do not any more when asked again.

People correct themselves, so that the work may start; whether it was a correction is for the owner
to see (docs/no-way-past.md).
"""

from datetime import timedelta

from heelwright.intake.clearances import in_force
from heelwright.intake.records import in_itself, records_between
from heelwright.intake.rules import Facts
from heelwright.people.models import Client


def answered_away(client: Client, facts: Facts) -> bool:
    """Whether a record within the hours for which one is valid asked for a clearance that the
    records that count do not ask for and that none in force covers; slips aside."""
    since = facts.at - timedelta(hours=facts.valid_hours)
    asked = {
        rule["id"]
        for record in records_between(client, since, facts.at)
        if not hasattr(record, "error_mark")
        for rule in in_itself(record)["fired"]
        if rule["outcome"] == "needs_clearance"
    }
    asked_now = {rule["id"] for rule in facts.judgement["fired"]} if facts.judgement else set()
    held = in_force(facts.clearances, facts.at, facts.day)
    return bool(asked - asked_now - {rule for each in held for rule in each.covers})
