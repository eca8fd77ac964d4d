"""What may change watches and papers."""

from datetime import timedelta
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import Power, Refused, Role
from heelwright.lone_work.arguments import (
    EndWatch,
    MoveWatch,
    RecordPaper,
    RemovePaper,
    StartWatch,
)
from heelwright.lone_work.models import Paper, Watch
from heelwright.people.team import colleague

# A long day and the way home.
LONGEST = timedelta(hours=24)


@command(Power.REPORT, StartWatch)
def start_watch(act: Act, args: StartWatch) -> None:
    """One that comes when its time is over tells at once: nobody knows yet that they are back. A
    person has one at a time."""
    fresh_id(Watch, args.watch, "watch")
    _not_too_long(act, args)
    for earlier in Watch.objects.filter(staff=act.staff, ended_at=None):
        _end(act, earlier)
    act.put(
        Watch(
            id=args.watch,
            practice=act.practice,
            staff=act.staff,
            began_at=act.by_now(act.made_at),
            back_by=args.back_by,
            reach_at=args.reach_at,
            tell_name=args.tell_name,
            tell_email=args.tell_email,
        )
    )


@command(Power.REPORT, MoveWatch)
def move_watch(act: Act, args: MoveWatch) -> None:
    """Whoever moves it is alive: of an alarm that went out, the all-clear follows."""
    watch = _own(act, args.watch)
    _not_too_long(act, args)
    if watch.ended_at is not None:
        return
    _call_off(watch)
    watch.back_by, watch.alarm, watch.alarm_at = args.back_by, "none", None
    act.put(watch)


@command(Power.REPORT, EndWatch)
def end_watch(act: Act, args: EndWatch) -> None:
    watch = _own(act, args.watch)
    if watch.ended_at is None:
        _end(act, watch)


@command(Power.PERMISSION, RecordPaper)
def record_paper(act: Act, args: RecordPaper) -> None:
    staff = colleague(act, args.staff)
    if act.role is not Role.OWNER and staff != act.staff:
        raise Refused(
            "not_yours", "This is somebody else's paper.", "Ask the owner to enter it.", "staff"
        )
    paper = Paper.objects.filter(practice=act.practice, pk=args.paper).first()
    if paper is None:
        fresh_id(Paper, args.paper, "paper")
        paper = Paper(id=args.paper, practice=act.practice, staff=staff)
    elif paper.staff != staff:
        raise _unknown("paper", "paper")
    else:
        still_as_seen(act, paper, args.seen, "paper", "paper")
    paper.what, paper.name, paper.number = args.what, args.name, args.number
    paper.expires_on = args.expires_on
    act.put(paper)


@command(Power.PERMISSION, RemovePaper)
def remove_paper(act: Act, args: RemovePaper) -> None:
    papers = Paper.objects.filter(practice=act.practice, pk=args.paper)
    if act.role is not Role.OWNER:
        papers = papers.filter(staff=act.staff)
    paper = papers.first()
    if paper is None:
        raise _unknown("paper", "paper")
    act.remove(paper)


def _not_too_long(act: Act, args: StartWatch | MoveWatch) -> None:
    if args.back_by - act.made_at > LONGEST:
        raise Refused(
            "too_far_ahead",
            "This is more than a day ahead.",
            "Say by when you will be back today.",
            field="back_by",
        )


def _own(act: Act, watch_id: UUID) -> Watch:
    watch = Watch.objects.filter(staff=act.staff, pk=watch_id).first()
    if watch is None:
        raise _unknown("watch", "check-in")
    return watch


def _unknown(field: str, what: str) -> Refused:
    return Refused("not_found", f"This {what} was not found.", "Sync, look again.", field)


def _end(act: Act, watch: Watch) -> None:
    """By the server's clock: nobody was told before that they need not look."""
    watch.ended_at = act.now
    _call_off(watch)
    act.put(watch)


def _call_off(watch: Watch) -> None:
    """Where somebody was told, or may have been, they hear that all is well."""
    if watch.alarm != "none":
        watch.all_clear = "due"
