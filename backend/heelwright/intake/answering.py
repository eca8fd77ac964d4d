"""What becomes of a referral: its way to a clinician, and what the clinician answers."""

from contextlib import nullcontext
from datetime import date, datetime
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake.arguments import RecordReferralAnswer, RecordReferralStep
from heelwright.intake.late import on_record
from heelwright.intake.models import HealthScreen, Referral, ReferralAnswer, ReferralStep
from heelwright.intake.own_word import of_somebody_else, tell_of_team
from heelwright.intake.records import by, happened_at, local_day, records_between
from heelwright.intake.referring import not_referred, refer
from heelwright.intake.verdicts import FREEING
from heelwright.people.access import client_for
from heelwright.people.models import Client


@command(Power.REPORT, RecordReferralStep)
def record_referral_step(act: Act, args: RecordReferralStep) -> None:
    referral = _referral(act, args.referral)
    client = client_for(act, referral.client_id, field="referral")
    fresh_id(ReferralStep, args.step, "step")
    act.not_ahead(args.done_at, "done_at")
    step = ReferralStep(
        id=args.step,
        referral=referral,
        what=args.what,
        how=args.how,
        to=args.to,
        note=args.note,
        done_at=args.done_at,
        **by(act, client),
    )
    step.save()
    act.announce(referral)


@command(Power.REPORT, RecordReferralAnswer)
def record_referral_answer(act: Act, args: RecordReferralAnswer) -> None:
    referral = _referral(act, args.referral)
    client = client_for(act, referral.client_id, field="referral")
    answered_on = act.day_told(args.answered_on, "answered_on")
    frees = args.verdict in FREEING
    if frees:
        act.frees()
        of_somebody_else(act, args.clinician)
        _not_before(answered_on, local_day(act.practice, referral.made_at))
    recorded_at = _on_record(act, referral, frees=frees)
    answer = ReferralAnswer(
        id=new_id(),
        referral=referral,
        clinician=args.clinician,
        clinician_role=args.clinician_role,
        answered_on=answered_on,
        recorded_at=recorded_at,
        written_at=None if recorded_at == act.made_at else act.by_now(act.made_at),
        answer=args.answer,
        verdict=args.verdict,
        **by(act, client),
    )
    held = nullcontext() if frees else on_record(act, client, act.by_now(recorded_at))
    with held:
        answer.save()
        act.announce(referral)
    if frees:
        tell_of_team(act, referral, args.clinician, client)
        _refer_what_came_after(act, client)


def _refer_what_came_after(act: Act, client: Client) -> None:
    """A yes that comes late speaks of nothing that was found after it was written down: what
    leaned on the referral meanwhile, as one that waited, refers by itself."""
    later = [
        record
        for record in records_between(client, act.made_at, act.now)
        if happened_at(record) > act.made_at and not hasattr(record, "error_mark")
    ]
    for record in not_referred(client, later):
        with on_record(act, client, happened_at(record)):
            refer(act, record)


def _not_before(answered_on: date, made_on: date) -> None:
    """A no holds whenever it was said."""
    if answered_on < made_on:
        raise Refused(
            "date_too_early",
            "The answer is older than the referral.",
            "Check the date. An older letter is no answer to this referral.",
            field="answered_on",
        )


def _referral(act: Act, id_: UUID) -> Referral:
    referral = Referral.objects.filter(practice=act.practice, pk=id_).first()
    if referral is None:
        raise Refused("not_found", "This referral was not found.", "Sync, look again.", "referral")
    return referral


def _on_record(act: Act, referral: Referral, *, frees: bool) -> datetime:
    """When an answer came on record: by the device that wrote it down, unless the server has
    something that claims to be later and that it must not slip behind.

    A yes that is dated back makes no older screen the newer one; nor does it come after a no that
    was written down later. A no that was on its way is not taken back by a yes that knew nothing of
    it.
    """
    later = [a for a in referral.answers.all() if a.counted(a.recorded_at) >= act.made_at]
    if not frees:
        return act.now if later else act.made_at
    if any(a.verdict not in FREEING for a in later if a.verdict):
        return act.made_at
    screens = HealthScreen.objects.filter(client=referral.client, screened_at__gt=act.made_at)
    return act.now if screens.exists() else act.made_at
