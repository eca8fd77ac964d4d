"""What of the practice, its people and its clients goes to devices."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from pydantic import BaseModel

from heelwright.commandlog.models import Access
from heelwright.commandlog.registry import feed_kind
from heelwright.declarations import FeedKind
from heelwright.people.arguments import QuietTime
from heelwright.people.books import currency_of, own_rules_fault, tax_is_on_top
from heelwright.people.models import Client, Facility
from heelwright.people.rules import Status
from heelwright.people.times import Span
from heelwright.places.position import Position
from heelwright.places.roads import Choice as RoadChoice
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.tenancy.recovery import in_base64

Rows = Iterable[tuple[UUID, BaseModel]]


class PracticeRow(BaseModel):
    """`recovery_key` is the public half of the practice's recovery pair, in base64; empty until a
    device has been enrolled since there are such pairs. `own_rules_fault` says why the practice's
    own rules are not in force, and is empty where they are. `currency` is empty where nobody knows
    it."""

    name: str
    zone: str
    units: str
    place: str
    reply_to: str
    invented: bool
    lease_days: int
    roads: RoadChoice
    recovery_key: str
    own_rules: str
    own_rules_fault: str
    currency: str
    tax_on_top: bool


class StaffRow(BaseModel):
    name: str
    role: str
    email: str
    ended: bool


class DeviceRow(BaseModel):
    staff: UUID
    name: str
    enrolled_at: datetime
    revoked_at: datetime | None
    save_unsent: bool


class FacilityRow(BaseModel):
    """`staff` are those to whom it was given, with everyone who lives there."""

    staff: list[UUID]
    name: str
    address: str
    position: Position | None
    phone: str
    quiet_times: list[QuietTime]
    corridors: list[str]


class ClientRow(BaseModel):
    """`staff` are those who have this client among theirs; `merged` the ids of cards that turned
    out to be this same person's."""

    staff: list[UUID]
    merged: list[UUID]
    name: str
    born: str
    address: str
    position: Position | None
    phone: str
    email: str
    facility: UUID | None
    room: str
    corridor: str
    see_last: bool
    contact_name: str
    contact_phone: str
    contact_role: str
    decides_for_self: bool
    note: str
    entry_note: str
    status: Status
    status_since: str | None
    visit_times: list[Span]
    preferred_staff: UUID | None
    may_wait: bool
    needs_skills: list[str]


def practices(ids: Iterable[UUID]) -> Rows:
    for p in Practice.objects.filter(pk__in=ids).select_related("recovery"):
        row = PracticeRow(
            name=p.name,
            zone=p.zone,
            units=p.units,
            place=p.place,
            reply_to=p.reply_to,
            invented=p.invented,
            lease_days=p.lease_days,
            roads=p.roads,
            recovery_key=in_base64(p.recovery) if hasattr(p, "recovery") else "",
            own_rules=p.own_rules,
            own_rules_fault=own_rules_fault(p),
            currency=currency_of(p),
            tax_on_top=tax_is_on_top(p),
        )
        yield p.pk, row


def staff(ids: Iterable[UUID]) -> Rows:
    for s in Staff.objects.filter(pk__in=ids):
        row = StaffRow(name=s.name, role=s.role, email=s.email, ended=s.ended_at is not None)
        yield s.pk, row


def devices(ids: Iterable[UUID]) -> Rows:
    for d in Device.objects.filter(pk__in=ids):
        row = DeviceRow(
            staff=d.staff_id,
            name=d.name,
            enrolled_at=d.enrolled_at,
            revoked_at=d.revoked_at,
            save_unsent=d.save_unsent,
        )
        yield d.pk, row


def facilities(ids: Iterable[UUID]) -> Rows:
    having = _who_has(ids)
    for f in Facility.objects.filter(pk__in=ids):
        row = FacilityRow(
            staff=having.get(f.pk, []),
            name=f.name,
            address=f.address,
            position=Position.model_validate(f.position) if f.position else None,
            phone=f.phone,
            quiet_times=f.quiet_times or [],
            corridors=f.corridors or [],
        )
        yield f.pk, row


def clients(ids: Iterable[UUID]) -> Rows:
    having = _who_has(ids)
    made = {"staff", "merged", "facility", "status", "corridor", "see_last"}
    made |= {"visit_times", "may_wait", "needs_skills", "entry_note"}
    plain = [f for f in ClientRow.model_fields if f not in made]
    living = Client.objects.filter(pk__in=ids, merged_into=None).prefetch_related("merged")
    for c in living:
        row = ClientRow(
            staff=having.get(c.pk, []),
            merged=sorted(gone.pk for gone in c.merged.all()),
            facility=c.facility_id,
            status=c.status or "active",
            visit_times=c.visit_times or [],
            may_wait=c.may_wait or False,
            needs_skills=c.needs_skills or [],
            corridor=c.corridor or "",
            entry_note=c.entry_note or "",
            see_last=c.see_last or False,
            **{f: getattr(c, f) for f in plain},
        )
        yield c.pk, row


def _who_has(scopes: Iterable[UUID]) -> dict[UUID, list[UUID]]:
    having: dict[UUID, list[UUID]] = {}
    for access in Access.objects.filter(scope__in=scopes, until=None):
        having.setdefault(access.scope, []).append(access.staff_id)
    return {scope: sorted(staff) for scope, staff in having.items()}


feed_kind(FeedKind("practice", Practice, PracticeRow, lambda row: row.pk, practices))
feed_kind(FeedKind("staff", Staff, StaffRow, lambda row: row.practice_id, staff))
feed_kind(FeedKind("device", Device, DeviceRow, lambda row: row.staff_id, devices))
feed_kind(FeedKind("facility", Facility, FacilityRow, lambda row: row.practice_id, facilities))
feed_kind(FeedKind("client", Client, ClientRow, lambda row: row.pk, clients))
