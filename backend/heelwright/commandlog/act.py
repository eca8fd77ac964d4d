"""The hands of a command: who acts, when, and the only way in which rows are written and
announced."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import cached_property
from typing import Any
from uuid import UUID

from django.db.models import Model

from heelwright.commandlog import registry
from heelwright.commandlog.device_clock import EARLIEST, by_now, check_not_ahead, day_told
from heelwright.commandlog.models import Access, CommandRecord, FeedRow, Incident, Redelivery
from heelwright.declarations import FeedKind, Power, Refused, Role
from heelwright.ids import new_id
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.tenancy.signin import DeviceRevoked

# SQLite takes no more than some thousands of values in a statement.
BATCH = 500


@dataclass
class Act:
    """One command being carried out, under the practice's lock and inside a savepoint.

    `made_at` is when the person did it, by their device's clock as far as that has a time; nothing
    is ordered by it. `record` is the command's entry in the log; only the founding of a practice
    has none. `too_early` says that it told of something as news which the phone would have told
    before.
    """

    practice: Practice
    staff: Staff
    device: Device
    power: Power
    made_at: datetime
    now: datetime
    record: CommandRecord | None = None
    subject: UUID | None = None
    too_early: bool = False
    incidents: list[UUID] = field(default_factory=list)
    announced: list[Model] = field(default_factory=list)
    logged: dict[UUID, dict[str, Any]] = field(default_factory=dict)

    @property
    def role(self) -> Role:
        return Role(self.staff.role)

    @property
    def is_report(self) -> bool:
        return self.power is Power.REPORT

    def frees(self) -> None:
        """Say that what is being told may free a client to be worked on. Raises DeviceRevoked where
        the device is shut out: whoever has it in hand must free nobody."""
        if self.device.revoked_at is not None:
            raise DeviceRevoked

    def not_ahead(self, moment: datetime, field: str) -> None:
        """Raise Refused where something is told before it was done, by the device's own clock."""
        check_not_ahead(moment, self.made_at, field)

    def day_told(self, day: date, field: str) -> date:
        """A day on which something was so, as it counts. Raises Refused where it was mistyped."""
        return day_told(day, self.made_at, self.now, field)

    def by_now(self, claimed: datetime) -> datetime:
        """A time told by the device, where it grants something: never after the server's own."""
        return by_now(claimed, self.now)

    @property
    def clock_lost(self) -> bool:
        """Whether the device's clock had lost its time: what it tells counts from its receipt."""
        return self.record is not None and self.record.made_at < EARLIEST

    def next_number(self) -> int:
        """A fresh number of the practice's feed. Safe because the practice's row is locked."""
        self.practice.feed_seq += 1
        return self.practice.feed_seq

    def put(self, row: Model) -> int:
        """Save a row and announce it on the feed; returns the row's new version."""
        row.save()
        return self.announce(row)

    def announce(self, row: Model) -> int:
        """Move a row to the newest number of the feed, so that devices fetch it again."""
        kind = registry.kind_of(row)
        number = self.next_number()
        if kind is not None:
            self._enter(kind, row, number)
            self.announced.append(row)
        return number

    def put_new(self, rows: Sequence[Model]) -> None:
        """Save and announce many rows of one kind, all of them new, in a few queries."""
        if not rows:
            return
        kind = registry.kind_of(rows[0])
        if kind is None:
            raise TypeError(f"{rows[0]._meta.label} is on no feed")
        type(rows[0])._default_manager.bulk_create(rows, batch_size=BATCH)
        entries = [
            FeedRow(
                practice=self.practice,
                kind=kind.name,
                row_id=row.pk,
                scope=kind.scope(row),
                seq=self.next_number(),
                device=self.device,
            )
            for row in rows
        ]
        FeedRow.objects.bulk_create(entries, batch_size=BATCH)
        self.announced.extend(rows)

    def grant_new(self, staff: Iterable[Staff], scopes: Sequence[UUID]) -> None:
        """Let people see many scopes that nobody sees yet."""
        given = [
            Access(practice=self.practice, staff=person, scope=scope, since=self.next_number())
            for person in staff
            for scope in scopes
        ]
        Access.objects.bulk_create(given, batch_size=BATCH)

    def log_apart(self, rest: dict[str, Any], parts: dict[UUID, dict[str, Any]]) -> None:
        """Say what of the arguments is about which client: each part is logged under the key of
        its own, so that a purge of one takes nothing of the others. `rest` is about nobody."""
        self.logged = {self.practice.pk: rest, **parts}

    def remove(self, row: Model) -> None:
        """Delete a row that syncs; its entry on the feed stays, so that devices remove it too."""
        self.retire(row)
        row.delete()

    def retire(self, row: Model) -> None:
        """Let devices remove a row that the server keeps."""
        kind = registry.kind_of(row)
        if kind is None:
            raise TypeError(f"{row._meta.label} is on no feed")
        self._enter(kind, row, self.next_number(), gone_at=self.now)

    def _enter(
        self, kind: FeedKind, row: Model, number: int, gone_at: datetime | None = None
    ) -> None:
        named = {"practice": self.practice, "kind": kind.name, "row_id": row.pk}
        entry = FeedRow.objects.filter(**named).first() or FeedRow(**named)
        if entry.gone_at is not None:
            raise Refused(
                "removed", "This record was removed.", "Enter it anew if it is needed again."
            )
        entry.scope, entry.seq, entry.device = kind.scope(row), number, self.device
        entry.gone_at = gone_at
        entry.save()

    def changed_elsewhere(self, row: Model, seen: int) -> bool:
        """Whether another device has changed a row since the version that this one saw."""
        kind = registry.kind_of(row)
        if kind is None:
            return False
        entries = FeedRow.objects.filter(practice=self.practice, kind=kind.name, row_id=row.pk)
        return entries.filter(seq__gt=seen).exclude(device__in=self.own_devices).exists()

    @cached_property
    def own_devices(self) -> set[UUID]:
        """This device, and those whose outbox was moved to it: what they did, it knows of."""
        moved = Redelivery.objects.filter(device=self.device).values_list("command__device")
        return {self.device.pk, *(device for (device,) in moved.distinct())}

    def grant(self, staff: Staff, scope: UUID) -> bool:
        """Let a person see a scope from now on; returns whether that is new."""
        known = Access.objects.filter(staff=staff, scope=scope).first()
        if known is not None and known.until is None:
            return False
        access = known or Access(practice=self.practice, staff=staff, scope=scope)
        access.since, access.until, access.closed_at = self.next_number(), None, None
        access.save()
        return True

    def withdraw(self, staff: Staff, scope: UUID) -> bool:
        """Take a scope away; the person's devices forget it at their next pull."""
        access = Access.objects.filter(staff=staff, scope=scope, until=None).first()
        if access is None:
            return False
        access.until, access.closed_at = self.next_number(), self.now
        access.save()
        return True

    def sees(self, scope: UUID) -> bool:
        if self.role is Role.OWNER:
            return True
        return Access.objects.filter(staff=self.staff, scope=scope, until=None).exists()

    def seen_of(self, scopes: Collection[UUID]) -> set[UUID]:
        """Those of many that the actor sees, in one query."""
        if self.role is Role.OWNER:
            return set(scopes)
        seen = Access.objects.filter(staff=self.staff, scope__in=scopes, until=None)
        return set(seen.values_list("scope", flat=True))

    def raise_incident(
        self,
        code: str,
        about: Model,
        reasons: list[str],
        client: UUID | None = None,
        owners_only: bool = False,
        of_own_doing: bool = False,
    ) -> Incident:
        """Keep something for the owner to look at. `reasons` are sealed; `code` is not.

        It goes to the staff of this act as well, where they see the client now: it may tell how the
        client is. `of_own_doing` says that it tells nothing but what they did themselves.
        """
        kind = registry.kind_of(about)
        owners_only = owners_only or not (of_own_doing or client is None or self.sees(client))
        incident = Incident(
            id=new_id(),
            practice=self.practice,
            staff=self.staff,
            command=self.record,
            client_ref=client,
            about=kind.name if kind else about._meta.model_name or "",
            about_id=about.pk,
            code=code,
            raised_at=self.now,
            reasons=reasons,
            owners_only=owners_only,
        )
        self.put(incident)
        sender = self.device.staff
        if sender.role == Role.OWNER or (sender.pk == self.staff.pk and not owners_only):
            self.incidents.append(incident.pk)
        return incident


def fresh_id(model: type[Model], id_: UUID, field: str) -> None:
    """Raise Refused where a device gives a new row an id that is taken."""
    if model._default_manager.filter(pk=id_).exists():
        raise Refused(
            "id_taken",
            "This record is on the server already.",
            "Nothing needs doing if it is the same record; otherwise enter it again.",
            field=field,
        )
