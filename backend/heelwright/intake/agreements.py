"""What clinicians clear a client for, and when that ends."""

from datetime import date, timedelta

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.arguments import (
    RecordClearance,
    WithdrawClearance,
)
from heelwright.intake.late import on_record
from heelwright.intake.models import (
    Clearance,
    ClearanceWithdrawal,
)
from heelwright.intake.own_word import of_somebody_else, tell_of_team
from heelwright.intake.records import by
from heelwright.people.access import client_for
from heelwright.people.books import book_of


@command(Power.REPORT, RecordClearance)
def record_clearance(act: Act, args: RecordClearance) -> None:
    client = client_for(act, args.client)
    act.frees()
    of_somebody_else(act, args.clinician)
    fresh_id(Clearance, args.clearance, "clearance")
    given_on = act.day_told(args.given_on, "given_on")
    if args.expires_on < args.given_on:
        raise Refused(
            "ends_before_start", "It ends before it starts.", "Check both dates.", "expires_on"
        )
    _not_for_too_long(act, given_on, args.expires_on)
    clearance = Clearance(
        id=args.clearance,
        clinician=args.clinician,
        clinician_role=args.clinician_role,
        given_on=given_on,
        expires_on=args.expires_on,
        covers=args.covers,
        scope=args.scope,
        recorded_at=act.made_at,
        limits=dict(args.limits) if args.limits else None,
        evidence_photo=args.evidence_photo,
        evidence_note=args.evidence_note,
        **by(act, client),
    )
    act.put(clearance)
    tell_of_team(act, clearance, args.clinician, client)
    if args.evidence_photo is None and not args.evidence_note.strip():
        act.raise_incident("clearance_shows_nothing", clearance, [], client.pk)


def _not_for_too_long(act: Act, given_on: date, expires_on: date) -> None:
    """A clearance without an end would never be asked for again."""
    days = book_of(act.practice).content.settings.clearance_days_max
    if expires_on - given_on > timedelta(days=days):
        raise Refused(
            "ends_too_late",
            f"A clearance lasts {days} days at most.",
            "Enter the last day that the clinician named, or an earlier one, and send it again.",
            field="expires_on",
        )


@command(Power.REPORT, WithdrawClearance)
def withdraw_clearance(act: Act, args: WithdrawClearance) -> None:
    clearance = Clearance.objects.filter(practice=act.practice, pk=args.clearance).first()
    if clearance is None:
        raise Refused(
            "not_found", "This clearance was not found.", "Sync, look again.", "clearance"
        )
    client = client_for(act, clearance.client_id, field="clearance")
    act.not_ahead(args.withdrawn_at, "withdrawn_at")
    withdrawal = ClearanceWithdrawal(
        id=new_id(),
        clearance=clearance,
        reason=args.reason,
        withdrawn_at=args.withdrawn_at,
        **by(act, client),
    )
    with on_record(act, client, act.by_now(args.withdrawn_at)):
        withdrawal.save()
        act.announce(clearance)
