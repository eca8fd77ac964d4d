"""Says to the coordinators of a facility what a round needs to know of a resident: by when consent
and health screen are to be looked at again, and between which days the next visit is in time.

States alone: no answer, no finding, no weeks and no reason (decision 0195).
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.act import Act
from heelwright.commandlog.registry import after_each_command, feed_kind, follows_client
from heelwright.declarations import FeedKind
from heelwright.ids import new_id
from heelwright.intake.decided import decisions
from heelwright.intake.records import happened_at, local_day, screens_that_count
from heelwright.intake.rules import ends_at
from heelwright.people.books import book_of
from heelwright.people.models import Client
from heelwright.schedule.coming import next_due
from heelwright.schedule.models import ResidentState
from heelwright.schedule.rules.residents import Agreed, consent_until, screen_until


class ResidentStateRow(BaseModel):
    """`due_first` and `due_last` are the first and the last day in time for the next visit."""

    client: UUID
    consent_until: date | None
    screen_until: date | None
    due_first: date | None
    due_last: date | None


@after_each_command
def tell_states(act: Act, client_id: UUID) -> None:
    """Bring what coordinators are told of a resident up to date."""
    client = Client.objects.get(pk=client_id)
    there = list(ResidentState.objects.filter(client=client).order_by("pk"))
    told = _told(client, act.now) if client.facility_id else {}
    for one in there[1:] if any(told.values()) else there:
        act.remove(one)
    if not any(told.values()):
        return
    row = there[0] if there else ResidentState(id=new_id(), practice=act.practice, client=client)
    if not there or row.told != told:
        row.told = told
        act.put(row)


def _told(client: Client, now: datetime) -> dict[str, Any]:
    settings = book_of(client.practice).content.settings
    screens = screens_that_count(client, now)
    screened = local_day(client.practice, happened_at(screens[0])) if screens else None
    due = next_due([client]).get(client.pk)
    days = {
        "consent_until": consent_until(
            _agreed(client, now), client.decides_for_self, settings.consent_renew_days
        ),
        "screen_until": screen_until(screened, settings.screen_recent_days),
        "due_first": due.first if due else None,
        "due_last": due.last if due else None,
    }
    return {name: day.isoformat() if day else None for name, day in days.items()}


def _agreed(client: Client, now: datetime) -> list[Agreed]:
    made = [one for one in decisions(client, "treatment") if one.at <= now]
    ends = {one: ends_at(one, made) for one in made if one.agreed}
    return [
        Agreed(local_day(client.practice, one.at), one.by_representative)
        for one, end in ends.items()
        if end is None or end > now
    ]


def rows(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for one in ResidentState.objects.filter(pk__in=ids):
        yield one.pk, ResidentStateRow(client=one.client_id, **one.told)


feed_kind(
    FeedKind("resident_state", ResidentState, ResidentStateRow, lambda row: row.client_id, rows)
)
follows_client(ResidentState)
