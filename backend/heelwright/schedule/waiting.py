"""The waiting list: clients who wish for a visit and have no time yet (decision 0192).

Which freed time would suit whom is worked out on the phone, without signal. An entry is not closed
by a booking: who has one within the days that they wished for waits no longer, and waits again once
it falls through.
"""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command, feed_kind, follows_client
from heelwright.commandlog.seen import still_as_seen
from heelwright.declarations import FeedKind, Power, Refused
from heelwright.people.access import client_for, not_away
from heelwright.people.models import Client
from heelwright.schedule.diary import technician
from heelwright.schedule.models import Waiting
from heelwright.schedule.waiting_arguments import StopWaiting, WaitForVisit, Wish

PLACE = "client's place on the waiting list"


class WaitingRow(Wish):
    client: UUID
    since: datetime
    state: str
    reason: str
    note: str


@command(Power.PERMISSION, WaitForVisit)
def wait_for_visit(act: Act, args: WaitForVisit) -> None:
    client = client_for(act, args.client)
    not_away(client)
    act.not_ahead(args.since, "since")
    if args.staff is not None:
        technician(act, args.staff)
    entry = _entry(act, args, client)
    entry.since, entry.state, entry.reason = args.since, "waiting", ""
    entry.wish = args.model_dump(mode="json", include=set(Wish.model_fields))
    if args.note is not None:
        entry.note = args.note
    act.put(entry)


@command(Power.PERMISSION, StopWaiting)
def stop_waiting(act: Act, args: StopWaiting) -> None:
    entry = Waiting.objects.filter(practice=act.practice, pk=args.waiting).first()
    if entry is None:
        raise Refused("not_found", "This entry was not found.", "Sync, look again.", "waiting")
    client_for(act, entry.client_id, field="waiting")
    still_as_seen(act, entry, args.seen, PLACE, "waiting")
    entry.state, entry.reason = "stopped", args.code
    act.put(entry)


def _entry(act: Act, args: WaitForVisit, client: Client) -> Waiting:
    """A client has one, which is used again. Raises Refused where somebody else has entered or
    changed it since."""
    of_client = Waiting.objects.filter(client=client)
    found = of_client.filter(pk=args.waiting).first() or of_client.order_by("since", "pk").first()
    if found is None:
        fresh_id(Waiting, args.waiting, "waiting")
        return Waiting(id=args.waiting, practice=act.practice, client=client)
    seen = args.seen if found.pk == args.waiting else None
    still_as_seen(act, found, seen, PLACE, "waiting")
    return found


def rows(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for one in Waiting.objects.filter(pk__in=ids):
        row = WaitingRow(
            client=one.client_id,
            since=one.since,
            state=one.state,
            reason=one.reason,
            note=one.note,
            **one.wish,
        )
        yield one.pk, row


feed_kind(FeedKind("waiting", Waiting, WaitingRow, lambda row: row.client_id, rows))
follows_client(Waiting)
