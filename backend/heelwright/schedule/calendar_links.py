"""The link by which somebody's own calendar app asks when they work: made, and ended (decision
0191)."""

from collections.abc import Iterable
from datetime import date, datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.act import Act, fresh_id
from heelwright.commandlog.registry import command, feed_kind
from heelwright.declarations import FeedKind, Power, Refused, Role
from heelwright.schedule.calendar_arguments import EndCalendar, ShareCalendar
from heelwright.schedule.models import CalendarLink


class CalendarLinkRow(BaseModel):
    staff: UUID
    made_at: datetime
    fetched_on: date | None


@command(Power.PERMISSION, ShareCalendar)
def share_calendar(act: Act, args: ShareCalendar) -> None:
    """A new link ends the one before."""
    fresh_id(CalendarLink, args.link, "link")
    if CalendarLink.objects.filter(secret_sha256=args.secret_sha256).exists():
        raise Refused("id_taken", "This link is in use.", "Make a new link.", "secret_sha256")
    for earlier in CalendarLink.objects.filter(staff=act.staff):
        act.remove(earlier)
    act.put(
        CalendarLink(
            id=args.link,
            practice=act.practice,
            staff=act.staff,
            made_from=act.device,
            secret_sha256=args.secret_sha256,
            made_at=act.by_now(act.made_at),
        )
    )


@command(Power.PERMISSION, EndCalendar)
def end_calendar(act: Act, args: EndCalendar) -> None:
    link = CalendarLink.objects.filter(practice=act.practice, pk=args.link).first()
    if link is None or (act.role is not Role.OWNER and link.staff_id != act.staff.pk):
        raise Refused(
            "not_found",
            "This link was not found among yours.",
            "Sync. If it still shows, end it again.",
            field="link",
        )
    act.remove(link)


def rows(ids: Iterable[UUID]) -> Iterable[tuple[UUID, BaseModel]]:
    for link in CalendarLink.objects.filter(pk__in=ids):
        told = CalendarLinkRow(
            staff=link.staff_id, made_at=link.made_at, fetched_on=link.fetched_on
        )
        yield link.pk, told


feed_kind(FeedKind("calendar_link", CalendarLink, CalendarLinkRow, lambda row: row.staff_id, rows))
