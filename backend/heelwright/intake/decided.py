"""What a client has decided, purpose by purpose, laid out for the pure decisions in `rules.py`."""

from datetime import datetime

from heelwright.intake.models import Consent
from heelwright.intake.rules import Decision, ends_at
from heelwright.people.models import Client


def decisions(client: Client, purpose: str) -> list[Decision]:
    """Every yes that counts, and every no, on record for one purpose."""
    of = Consent.objects.filter(client=client, purpose=purpose).select_related("withdrawal")
    return [decision(one) for one in of if one.counts or not one.agreed]


def decision(row: Consent) -> Decision:
    end = getattr(row, "withdrawal", None)
    withdrawn_at = end.ends_at if end else None
    signer = row.signer_role == "representative"
    return Decision(row.agreed, row.counted(row.signed_at), withdrawn_at, signer)


def ended_at(row: Consent) -> datetime | None:
    """When a yes ended: taken back, or followed by a no; None while it holds."""
    made = Consent.objects.filter(client=row.client_id, purpose=row.purpose, agreed=False)
    return ends_at(decision(row), [decision(one) for one in made])


def gives_leave_to_work(row: Consent) -> bool:
    return row.agreed and row.counts and row.purpose == "treatment"


def allows_work(row: Consent, at: datetime) -> bool:
    """Whether a visit may name this one as what it rests on."""
    end = ended_at(row)
    return gives_leave_to_work(row) and (end is None or end > at)
