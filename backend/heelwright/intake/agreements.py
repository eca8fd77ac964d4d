"""What clinicians say: their answers to referrals, and their clearances."""

from datetime import datetime

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.arguments import (
    RecordClearance,
    RecordReferralAnswer,
    WithdrawClearance,
)
from heelwright.intake.late import on_record
from heelwright.intake.models import (
    Clearance,
    ClearanceWithdrawal,
    HealthScreen,
    Referral,
    ReferralAnswer,
)
from heelwright.intake.records import by, local_day
from heelwright.people.access import client_for
from heelwright.people.models import Client


@command(Power.REPORT, RecordReferralAnswer)
def record_referral_answer(act: Act, args: RecordReferralAnswer) -> None:
    referral = Referral.objects.filter(practice=act.practice, pk=args.referral).first()
    if referral is None:
        raise Refused("not_found", "This referral was not found.", "Sync, look again.", "referral")
    client = client_for(act, referral.client_id, field="referral")
    act.frees()
    answered_on = act.day_told(args.answered_on, "answered_on")
    if answered_on < local_day(act.practice, referral.made_at):
        raise Refused(
            "date_too_early",
            "The answer is older than the referral.",
            "Check the date. An older letter is no answer to this referral.",
            field="answered_on",
        )
    answer = ReferralAnswer(
        id=new_id(),
        referral=referral,
        clinician=args.clinician,
        clinician_role=args.clinician_role,
        answered_on=answered_on,
        recorded_at=_on_record(act, client),
        answer=args.answer,
        **by(act, client),
    )
    answer.save()
    act.announce(referral)


def _on_record(act: Act, client: Client) -> datetime:
    """When an answer came on record: by the device that wrote it down, unless the server has a
    screen that claims to be later. An answer that is dated back makes no older screen the newer
    one."""
    before = HealthScreen.objects.filter(client=client, screened_at__gt=act.made_at)
    return act.now if before.exists() else act.made_at


@command(Power.REPORT, RecordClearance)
def record_clearance(act: Act, args: RecordClearance) -> None:
    client = client_for(act, args.client)
    act.frees()
    fresh_id(Clearance, args.clearance, "clearance")
    given_on = act.day_told(args.given_on, "given_on")
    if args.expires_on < args.given_on:
        raise Refused(
            "ends_before_start", "It ends before it starts.", "Check both dates.", "expires_on"
        )
    clearance = Clearance(
        id=args.clearance,
        clinician=args.clinician,
        clinician_role=args.clinician_role,
        given_on=given_on,
        expires_on=args.expires_on,
        covers=args.covers,
        scope=args.scope,
        recorded_at=act.made_at,
        **by(act, client),
    )
    act.put(clearance)


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
