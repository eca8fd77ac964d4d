"""Consents: each for one purpose, given and taken back by itself.

Only `treatment` decides whether a visit may start; who does anything else asks `stands`.
"""

from datetime import datetime

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused, Role
from heelwright.ids import new_id
from heelwright.intake.decided import decisions
from heelwright.intake.late import on_record
from heelwright.intake.models import Consent, ConsentWithdrawal
from heelwright.intake.records import by
from heelwright.intake.rules import state_of
from heelwright.intake.signed import SignConsent, WithdrawConsent
from heelwright.people.access import client_for
from heelwright.people.books import book_of
from heelwright.people.models import Client


def stands(client: Client, at: datetime, purpose: str) -> bool:
    """Whether a consent for this purpose holds at a moment."""
    return state_of(decisions(client, purpose), at) == "agreed"


@command(Power.REPORT, SignConsent)
def sign_consent(act: Act, args: SignConsent) -> None:
    """One text, signed alone. A text that no book here has counts as it always has: as the consent
    to the work, with the owner told."""
    client = client_for(act, args.client)
    act.frees()
    fresh_id(Consent, args.consent, "consent")
    act.not_ahead(args.signed_at, "signed_at")
    book = book_of(act.practice)
    consent = Consent(
        id=args.consent,
        text_id=args.text_id,
        text_hash=args.text_hash,
        purpose=book.purpose_of(args.text_id) or "treatment",
        signer_name=args.signer_name,
        signer_role=args.signer_role,
        authority=args.authority,
        witness=args.witness,
        presented=args.presented,
        own_wish=args.own_wish,
        strokes=[[point.model_dump() for point in stroke] for stroke in args.strokes],
        signed_at=args.signed_at,
        **by(act, client),
    )
    act.put(consent)
    if (args.text_id, args.text_hash) not in book.consent_texts:
        act.raise_incident("consent_text_unknown", consent, [args.text_id], client.pk)


@command(Power.REPORT, WithdrawConsent)
def withdraw_consent(act: Act, args: WithdrawConsent) -> None:
    consent = Consent.objects.filter(practice=act.practice, pk=args.consent).first()
    if consent is None:
        raise _no_consent()
    client = client_for(act, consent.client_id, field="consent")
    _in_reach(act, client)
    act.not_ahead(args.withdrawn_at, "withdrawn_at")
    if not hasattr(consent, "withdrawal"):
        withdrawal = ConsentWithdrawal(
            id=new_id(),
            consent=consent,
            reason=args.reason,
            withdrawn_at=args.withdrawn_at,
            **by(act, client),
        )
        with on_record(act, client, act.by_now(args.withdrawn_at)):
            withdrawal.save()
            act.announce(consent)


def _in_reach(act: Act, client: Client) -> None:
    """Raise Refused, as for no consent at all, where a coordinator does not see the client: they
    give no care, and only clients of their facility tell them that they take a consent back."""
    if act.role is Role.COORDINATOR and not act.sees(client.pk):
        act.subject = None
        raise _no_consent()


def _no_consent() -> Refused:
    return Refused("not_found", "This consent was not found.", "Sync, look again.", "consent")
