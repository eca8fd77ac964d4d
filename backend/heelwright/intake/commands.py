"""Health screens and foot checks: recorded, judged again by the server, and referred by it."""

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.declarations import Power, Refused
from heelwright.intake import (  # noqa: F401 - declare their commands
    agreements,
    answering,
    consents,
    mistakes,
    sheets,
    signing,
)
from heelwright.intake.apart import (
    checks_known,
    screens_known,
    tell_of_checks,
    tell_of_screens,
)
from heelwright.intake.arguments import RecordFootCheck, RecordScreen, plain
from heelwright.intake.confirmed import tell_of_unfounded
from heelwright.intake.late import on_record
from heelwright.intake.models import FootCheck, HealthScreen
from heelwright.intake.reading import Reading, read
from heelwright.intake.records import by, happened_at
from heelwright.intake.referring import refer
from heelwright.intake.rules import asks, rank, serious
from heelwright.people.access import client_for
from heelwright.people.books import book_of


@command(Power.REPORT, RecordScreen)
def record_screen(act: Act, args: RecordScreen) -> None:
    client = client_for(act, args.client)
    for model in (HealthScreen, FootCheck):
        fresh_id(model, args.screen, "screen")
    act.not_ahead(args.screened_at, "screened_at")
    answers = plain(args.answers)
    reading = read(client, args.screened_at, answers)
    _not_to_free(act, serious(reading.judgement))
    screen = HealthScreen(
        id=args.screen,
        screened_at=args.screened_at,
        seen=screens_known(act, client, args),
        answers=reading.answers(answers),
        answered_by=args.answered_by,
        answered_by_name=args.answered_by_name,
        from_screen=args.from_screen,
        confirmed=sorted(set(args.confirmed)),
        asked_rulebook=act.record.rulebook if act.record else "",
        judgement=reading.judgement,
        **by(act, client),
    )
    with on_record(act, client, happened_at(screen)):
        act.put(screen)
        _compare(act, screen, args.shown_outcome)
        _tell_of_unread(act, screen, reading)
        refer(act, screen)
    tell_of_screens(act, screen)
    tell_of_unfounded(act, screen)


def _not_to_free(act: Act, found: set[str]) -> None:
    """A record that refers the client on for what it found holds until somebody answers; any other
    may ease."""
    if not found:
        act.frees()


@command(Power.REPORT, RecordFootCheck)
def record_foot_check(act: Act, args: RecordFootCheck) -> None:
    client = client_for(act, args.client)
    for model in (HealthScreen, FootCheck):
        fresh_id(model, args.check, "check")
    act.not_ahead(args.checked_at, "checked_at")
    screen = HealthScreen.objects.filter(client=client, pk=args.screen).first()
    answers = plain(args.answers)
    # What was said by a slip is no reason to refer; the feet are read by themselves.
    slip = hasattr(screen, "error_mark")
    health = screen.answers if screen and not slip else {}
    findings = [finding.as_kept() for finding in args.findings]
    reading = read(client, args.checked_at, health, answers, findings)
    found = serious(reading.judgement)
    _not_to_free(act, found - serious(screen.judgement) if screen else found)
    _screen_known(screen, asks(reading.judgement))
    check = FootCheck(
        id=args.check,
        screen=screen,
        checked_at=args.checked_at,
        seen=checks_known(act, client, args),
        answers=reading.answers(answers),
        findings=reading.findings(findings),
        gone=[*args.gone],
        judgement=reading.judgement,
        **by(act, client),
    )
    with on_record(act, client, happened_at(check)):
        act.put(check)
        _compare(act, check, args.shown_outcome)
        _tell_of_unread(act, check, reading)
        refer(act, check)
    tell_of_checks(act, check)


def _screen_known(screen: HealthScreen | None, found: set[str]) -> None:
    """Feet that ask for somebody else's word do so by themselves. Others are kept only with their
    screen, which may have been refused."""
    if screen is None and not found:
        raise Refused(
            "not_found",
            "The health screen of this foot check was not found.",
            "Ask the health questions again, then save the foot check.",
            field="screen",
        )


def _tell_of_unread(act: Act, record: HealthScreen | FootCheck, reading: Reading) -> None:
    """Name the questions, in words, that somebody has to ask again. What was sent is in the log."""
    words = book_of(act.practice).content.words["en"]
    fields = (field.removeprefix("answers.") for field in reading.unread)
    unread = {words.get(f"question.{field}", "check") for field in fields}
    if unread:
        act.raise_incident("answers_not_read", record, sorted(unread), record.client_id)


def _compare(act: Act, record: HealthScreen | FootCheck, shown: str) -> None:
    """Tell the owner where a device showed a milder outcome than the server finds."""
    found = record.judgement["outcome"]
    if rank(shown) < rank(found):
        act.raise_incident("milder_outcome_shown", record, [shown, found], record.client_id)
