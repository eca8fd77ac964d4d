"""Health screens and foot checks: recorded, judged again by the server, and referred where they
must be."""

from datetime import datetime
from typing import Any

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.ids import new_id
from heelwright.intake import agreements  # noqa: F401 - declares its commands
from heelwright.intake.arguments import MarkEnteredInError, RecordFootCheck, RecordScreen, plain
from heelwright.intake.models import ErrorMark, FootCheck, HealthScreen, Referral
from heelwright.intake.records import answered_at, book_of, judge, referrals_of
from heelwright.intake.rules import rank
from heelwright.people.access import client_for
from heelwright.people.models import Client
from heelwright.rulebook import InvalidAnswers


@command(Power.REPORT, RecordScreen)
def record_screen(act: Act, args: RecordScreen) -> None:
    client = client_for(act, args.client)
    fresh_id(HealthScreen, args.screen, "screen")
    answers = plain(args.answers)
    judgement = _judged(client, args.screened_at, answers, [])
    screen = HealthScreen(
        id=args.screen,
        practice=act.practice,
        client=client,
        staff=act.staff,
        rulebook=book_of(act.practice).version,
        screened_at=args.screened_at,
        answers=answers,
        answered_by=args.answered_by,
        answered_by_name=args.answered_by_name,
        judgement=judgement,
    )
    act.put(screen)
    _compare(act, client, screen, args.shown_outcome, judgement)
    _refer(act, client, screen, "health_screen", judgement, [])


@command(Power.REPORT, RecordFootCheck)
def record_foot_check(act: Act, args: RecordFootCheck) -> None:
    client = client_for(act, args.client)
    fresh_id(FootCheck, args.check, "check")
    screen = HealthScreen.objects.filter(client=client, pk=args.screen).first()
    if screen is None:
        raise Refused(
            "not_found",
            "The health screen of this foot check was not found.",
            "Ask the health questions again, then save the foot check.",
            field="screen",
        )
    answers = plain(args.answers)
    findings = [finding.model_dump() for finding in args.findings]
    judgement = _judged(client, args.checked_at, {**screen.answers, **answers}, findings)
    check = FootCheck(
        id=args.check,
        practice=act.practice,
        client=client,
        staff=act.staff,
        rulebook=book_of(act.practice).version,
        screen=screen,
        checked_at=args.checked_at,
        answers=answers,
        findings=findings,
        judgement=judgement,
    )
    act.put(check)
    _compare(act, client, check, args.shown_outcome, judgement)
    _refer(act, client, check, "foot_check", judgement, findings)


def _judged(
    client: Client, at: datetime, answers: dict[str, Any], findings: list[dict[str, Any]]
) -> dict[str, Any]:
    """The judgement; raises Refused for an answer that the rulebook can't read."""
    try:
        return judge(client, at, answers, findings)
    except InvalidAnswers as invalid:
        first = invalid.problems[0]
        raise Refused(first.code, first.text, first.remedy, field=first.field) from None


def _compare(
    act: Act,
    client: Client,
    record: HealthScreen | FootCheck,
    shown: str,
    judgement: dict[str, Any],
) -> None:
    """Tell the owner where a device showed a milder outcome than the server finds."""
    if rank(shown) < rank(judgement["outcome"]):
        act.raise_incident("milder_outcome_shown", record, [shown, judgement["outcome"]], client.pk)


def _refer(
    act: Act,
    client: Client,
    record: HealthScreen | FootCheck,
    kind: str,
    judgement: dict[str, Any],
    findings: list[dict[str, Any]],
) -> None:
    """Make the referral at once, unless one that is still unanswered names the same reasons."""
    serious = {r["id"] for r in judgement["fired"] if rank(r["outcome"]) >= rank("refer_first")}
    for waiting in referrals_of(client):
        if answered_at(waiting) is None:
            serious -= {r["id"] for r in waiting.judgement["fired"]}
    if not serious:
        return
    referral = Referral(
        id=record.pk,
        practice=act.practice,
        client=client,
        staff=act.staff,
        rulebook=record.rulebook,
        made_at=act.made_at,
        from_kind=kind,
        judgement=judgement,
        findings=findings,
    )
    act.put(referral)


@command(Power.PERMISSION, MarkEnteredInError)
def mark_entered_in_error(act: Act, args: MarkEnteredInError) -> None:
    """The same person, within minutes, with a reason; the first record stays and the owner is
    told."""
    model = HealthScreen if args.what == "health_screen" else FootCheck
    record = model.objects.filter(practice=act.practice, pk=args.row).first()
    if record is None:
        raise Refused("not_found", "This record was not found.", "Sync, look again.", "row")
    client = client_for(act, record.client_id)
    _may_mark(act, record)
    mark = ErrorMark(
        id=new_id(),
        practice=act.practice,
        client=client,
        staff=act.staff,
        screen=record if isinstance(record, HealthScreen) else None,
        check_of_feet=record if isinstance(record, FootCheck) else None,
        reason=args.reason,
        marked_at=act.made_at,
    )
    mark.save()
    act.announce(record)
    for referral in Referral.objects.filter(pk=record.pk):
        act.announce(referral)
    act.raise_incident("entered_in_error", record, [args.reason], client.pk)


def _may_mark(act: Act, record: HealthScreen | FootCheck) -> None:
    done_at = record.screened_at if isinstance(record, HealthScreen) else record.checked_at
    minutes = book_of(act.practice).content.settings.entered_in_error_minutes
    if hasattr(record, "error_mark"):
        raise Refused("marked_already", "This is marked already.", "Nothing needs doing.", "row")
    if record.staff_id != act.staff.pk:
        raise Refused(
            "not_yours", "Only the person who entered this can mark it.", "Ask them.", field="row"
        )
    if not 0 <= (act.made_at - done_at).total_seconds() <= minutes * 60:
        raise Refused(
            "too_late",
            f"This can be marked only within {minutes} minutes.",
            "Record what a clinician answers to the referral, then screen again.",
            field="row",
        )
