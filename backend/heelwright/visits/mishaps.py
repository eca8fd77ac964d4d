"""Reporting what went wrong, adding to it, and closing it.

A report is kept whatever it says: also of a visit that the server does not have, of a client who is
away, and of a kind that this edition of the book does not know. Only an owner closes one.
"""

from typing import Any
from uuid import UUID

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.models import Incident
from heelwright.commandlog.registry import command
from heelwright.declarations import About, Power, Refused
from heelwright.intake.records import by
from heelwright.people.access import client_for
from heelwright.people.models import Client
from heelwright.visits.aftermath import is_closed
from heelwright.visits.arguments import AddToMishap, CloseMishap, ReportMishap, ToldAll
from heelwright.visits.doubts import WHOLE, tell, told_as_whole
from heelwright.visits.models import Mishap, MishapEntry, Visit


@command(Power.REPORT, ReportMishap)
def report_mishap(act: Act, args: ReportMishap) -> None:
    client = client_for(act, args.client)
    fresh_id(Mishap, args.mishap, "mishap")
    mishap = Mishap(
        id=args.mishap,
        visit_ref=args.visit,
        kind=args.kind,
        happened_at=args.happened_at,
        what_happened=args.what_happened,
        places=args.places,
        first_aid_given=args.first_aid_given,
        told=_told(args.told),
        follow_up_on=args.follow_up_on,
        photo=args.photo,
        visit_stopped=args.visit_stopped,
        **by(act, client),
    )
    act.put(mishap)
    if args.visit is not None and args.visit_stopped:
        for visit in Visit.objects.filter(client=client, pk=args.visit):
            _speaks_against(act, visit)


def _speaks_against(act: Act, visit: Visit) -> None:
    """Flag a visit that was told as done whole before it was told that it stopped."""
    whole = told_as_whole(visit)
    if not whole or Incident.objects.filter(code=WHOLE, about_id=visit.pk).exists():
        return
    visit.state = "under_review"
    act.put(visit)
    tell(act, visit, {WHOLE: whole})


@command(Power.REPORT, AddToMishap)
def add_to_mishap(act: Act, args: AddToMishap) -> None:
    """What is added to one that is closed opens it again: its owner has not read it."""
    mishap, client = _mishap(act, args.mishap)
    added_at = act.by_now(args.added_at)
    later = {"note": args.note, "told": _told(args.told), "outcome": args.outcome}
    entry = MishapEntry(
        id=args.entry, added_at=added_at, follow_up_on=args.follow_up_on, **later, **by(act, client)
    )
    _add(act, mishap, entry)


@command(Power.PERMISSION, CloseMishap)
def close_mishap(act: Act, args: CloseMishap) -> None:
    mishap, client = _mishap(act, args.mishap)
    if is_closed(mishap.entries.all()):
        raise Refused("closed_already", "Somebody has closed this already.", "Nothing needs doing.")
    if args.seen is not None and act.changed_elsewhere(mishap, args.seen):
        raise Refused(
            "added_since",
            "Somebody has added to this since you read it.",
            "Sync, read what was added, then close it.",
            field="mishap",
            about=About("mishap", mishap.pk),
        )
    added_at = act.by_now(act.made_at)
    closing = {"id": args.entry, "added_at": added_at, "note": args.note, "closes": True}
    _add(act, mishap, MishapEntry(**closing, **by(act, client)))


def _mishap(act: Act, mishap_id: UUID) -> tuple[Mishap, Client]:
    mishap = Mishap.objects.filter(practice=act.practice, pk=mishap_id).first()
    if mishap is None:
        raise Refused("not_found", "This record was not found.", "Sync, look again.", "mishap")
    return mishap, client_for(act, mishap.client_id, field="mishap")


def _add(act: Act, mishap: Mishap, entry: MishapEntry) -> None:
    fresh_id(MishapEntry, entry.pk, "entry")
    entry.mishap = mishap
    entry.number = mishap.entries.count() + 1
    entry.save()
    act.announce(mishap)


def _told(told: ToldAll) -> list[dict[str, Any]]:
    return [each.model_dump(mode="json") for each in told]
