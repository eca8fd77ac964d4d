"""What records of the last hours asked a clearance for. Answering otherwise, or looking again,
takes no such need back (docs/no-way-past.md)."""

from datetime import datetime, timedelta

from heelwright.intake.records import in_itself, records_between
from heelwright.people.books import book_of
from heelwright.people.models import Client


def hours_before(client: Client, at: datetime) -> datetime:
    """Since when a record is one of the last hours."""
    return at - timedelta(hours=book_of(client.practice).content.settings.screen_valid_hours)


def asked_before(client: Client, at: datetime) -> set[str]:
    """The rules by which records asked for a clearance within the hours for which one is valid;
    slips aside. `pwa/src/routes/client/asked-before.ts` does alike."""
    return {
        rule["id"]
        for record in records_between(client, hours_before(client, at), at)
        if not hasattr(record, "error_mark")
        for rule in in_itself(record)["fired"]
        if rule["outcome"] == "needs_clearance"
    }
