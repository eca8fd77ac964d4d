"""A world in which everybody stands who matters to a test, made through the real write path.

Owner, technician, a colleague without access, a coordinator of a facility, a phone that was
switched off, and another practice. The fixture `world` is built once a module and given afresh to
each test.
"""

import copy
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpRequest
from pytest_django.plugin import DjangoDbBlocker

from heelwright import clock
from heelwright.commandlog.receive import receive
from heelwright.commandlog.wire import Envelope, Receipt
from heelwright.ids import new_id
from heelwright.people.api import NewDevice, enrol_device
from heelwright.people.founding import Founder, found_practice
from heelwright.sync import cursor as cursors
from heelwright.sync.pull import Pulled, pull
from heelwright.tenancy.models import Device, Practice, Staff
from tests.factories import (
    answer_args,
    booking_args,
    check_args,
    clearance_args,
    client_args,
    consent_args,
    done_args,
    ident,
    mishap_args,
    screen_args,
    visit_args,
)

PASSWORD = "a long invented password"


class Hand:
    """A phone in somebody's hand: it numbers its commands and sends them.

    `now` is the server's time at which the phone speaks; a command was made then too, unless told.
    """

    def __init__(self, staff: Staff, device: Device, token: str, now: datetime) -> None:
        self.staff, self.device, self.token, self.now = staff, device, token, now
        self.seq = device.last_seq

    @property
    def id(self) -> str:
        return str(self.staff.pk)

    def later(self, **span: float) -> "Hand":
        self.now += timedelta(**span)
        return self

    def stamp(self, **span: float) -> str:
        """The time on the wire; `minutes=-5` is five minutes ago."""
        return (self.now + timedelta(**span)).isoformat()

    def day(self, **span: float) -> str:
        return (self.now + timedelta(**span)).date().isoformat()

    def envelope(self, name: str, args: dict[str, Any], at: datetime | None = None) -> Envelope:
        self.seq += 1
        return Envelope(
            id=new_id(), seq=self.seq, name=name, args=args, made_at=at or self.now, rulebook="v1"
        )

    def deliver(self, *envelopes: Envelope) -> list[Receipt]:
        return receive(self.device.pk, envelopes, self.now).receipts

    def send(self, name: str, args: dict[str, Any], at: datetime | None = None) -> Receipt:
        return self.deliver(self.envelope(name, args, at))[0]

    def do(self, name: str, args: dict[str, Any], at: datetime | None = None) -> Receipt:
        """Send what must be applied."""
        receipt = self.send(name, args, at)
        assert receipt.status == "applied", f"{name}: {receipt.refusal}"
        return receipt

    def no(self, name: str, args: dict[str, Any], at: datetime | None = None) -> str:
        """Send what must be refused; returns the code."""
        receipt = self.send(name, args, at)
        assert receipt.refusal is not None, f"{name} was {receipt.status}"
        return receipt.refusal.code

    def pull(self, cursor: str | None = None) -> Pulled:
        device = Device.objects.select_related("staff", "practice").get(pk=self.device.pk)
        return pull(device, cursors.read(cursor), self.now)

    # What a technician does at the door, as one step each; the id comes back.

    def register(self, **more: Any) -> str:
        args = client_args(**more)
        self.do("register_client", args)
        return str(args["client"])

    def screen(self, client: str, answers: dict[str, Any] | None = None, **more: Any) -> str:
        given = {"answers": answers} if answers is not None else {}
        args = screen_args(**{"client": client, "screened_at": self.stamp(), **given, **more})
        self.do("record_screen", args)
        return str(args["screen"])

    def check(
        self, client: str, screen: str, answers: dict[str, Any] | None = None, **more: Any
    ) -> str:
        given = {"answers": answers} if answers is not None else {}
        args = check_args(
            **{"client": client, "screen": screen, "checked_at": self.stamp(), **given, **more}
        )
        self.do("record_foot_check", args)
        return str(args["check"])

    def consent(self, client: str, **more: Any) -> str:
        args = consent_args(**{"client": client, "signed_at": self.stamp(), **more})
        self.do("sign_consent", args)
        return str(args["consent"])

    def book(self, client: str, **more: Any) -> str:
        args = booking_args(
            **{"client": client, "staff": self.id, "starts_at": self.stamp(), **more}
        )
        self.do("book_visit", args)
        return str(args["booking"])

    def clear(self, client: str, **more: Any) -> str:
        """A clearance for the next ninety days."""
        days = {"given_on": self.day(), "expires_on": self.day(days=90)}
        args = clearance_args(**{"client": client, **days, **more})
        self.do("record_clearance", args)
        return str(args["clearance"])

    def mishap(self, client: str, **more: Any) -> str:
        args = mishap_args(**{"client": client, "happened_at": self.stamp(), **more})
        self.do("report_mishap", args)
        return str(args["mishap"])

    def answer(self, referral: str, at: datetime | None = None, **more: Any) -> Receipt:
        return self.do(
            "record_referral_answer",
            answer_args(**{"referral": referral, "answered_on": self.day(), **more}),
            at,
        )

    def ready(self, client: str, **more: Any) -> dict[str, Any]:
        """Everything a visit rests on, from the same moment: the arguments of `start_visit`."""
        booking = more.pop("booking", None) or self.book(client)
        screen = self.screen(client, more.pop("health", None))
        check = self.check(client, screen, more.pop("foot", None))
        consent = self.consent(client)
        return visit_args(
            client=client,
            booking=booking,
            screen=screen,
            check=check,
            consent=consent,
            started_at=self.stamp(),
        )

    def ready_ids(self, client: str) -> dict[str, Any]:
        """A booking of its own and a fresh consent; the caller names screen and check."""
        booking = self.book(client, starts_at=self.stamp(days=self.seq))
        return visit_args(
            client=client,
            booking=booking,
            consent=self.consent(client),
            started_at=self.stamp(),
        )

    def done(self, start: dict[str, Any], **more: Any) -> dict[str, Any]:
        """The arguments of `complete_visit` for a visit that was started with `start`."""
        return done_args(**{**start, "ended_at": self.stamp(), **more})


@dataclass
class World:
    """The technician has `client`; whoever has the facility has its `resident`."""

    now: datetime
    practice: Practice
    owner: Hand
    technician: Hand
    colleague: Hand
    coordinator: Hand
    revoked: Hand
    stranger: Hand
    facility: str
    client: str
    resident: str

    @property
    def hands(self) -> dict[str, Hand]:
        names = "owner technician colleague coordinator revoked stranger".split()
        return {name: getattr(self, name) for name in names}


def founded(name: str, now: datetime) -> Hand:
    """A practice of its own and its owner's phone."""
    founder = Founder(f"Owner of {name}", f"owner@{name}.example", PASSWORD)
    practice = Practice(name=name, zone="Europe/London", invented=True)
    console = found_practice(practice, founder, now)
    return phone_of(console.staff, now)


def phone_of(staff: Staff, now: datetime) -> Hand:
    """A new phone, signed in as the sign-in does once the password has been checked."""
    request = HttpRequest()
    request.auth = staff  # type: ignore[attr-defined]
    enrolled = enrol_device(request, NewDevice(device=new_id(), name="Invented phone"))
    device = Device.objects.select_related("staff", "practice").get(pk=enrolled.device)
    return Hand(device.staff, device, enrolled.token, now)


def hired(owner: Hand, role: str, email: str) -> Hand:
    staff = ident()
    owner.do(
        "register_staff",
        {"staff": staff, "name": f"{role} Invented", "email": email, "role": role},
    )
    return phone_of(Staff.objects.get(pk=staff), owner.now)


def make_world(now: datetime | None = None) -> World:
    now = (now or clock.now()).replace(microsecond=0)
    owner = founded("heelside", now)
    technician = hired(owner, "technician", "technician@heelside.example")
    colleague = hired(owner, "technician", "colleague@heelside.example")
    coordinator = hired(owner, "coordinator", "coordinator@heelside.example")
    facility = ident()
    owner.do("register_facility", {"facility": facility, "name": "Invented House"})
    for hand in (technician, coordinator):
        owner.do("assign_facility", {"facility": facility, "staff": hand.id})
    client = technician.register()
    resident = technician.register(facility=facility, room="7")
    revoked = phone_of(technician.staff, now)
    owner.do("revoke_device", {"device": str(revoked.device.pk)})
    return World(
        now=now,
        practice=owner.device.practice,
        owner=owner,
        technician=technician,
        colleague=colleague,
        coordinator=coordinator,
        revoked=revoked,
        stranger=founded("otherfoot", now),
        facility=facility,
        client=client,
        resident=resident,
    )


@pytest.fixture(scope="module")
def built_world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """One world a module, in a transaction that is rolled back at its end.

    Not for modules with tests that commit: those build their own by `make_world`.
    """
    with django_db_blocker.unblock():
        outer = transaction.atomic()
        outer.__enter__()
        try:
            yield make_world()
        finally:
            transaction.set_rollback(True)
            outer.__exit__(None, None, None)


@pytest.fixture
def world(built_world: World, db: None) -> World:
    """The world as it was built: what the last test did is undone."""
    return copy.deepcopy(built_world)
