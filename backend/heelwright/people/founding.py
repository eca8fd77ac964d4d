"""Founding a practice: its first owner, and the console from which the server's keeper speaks.

The one write that is not a command, since there is nobody yet to send one.
"""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from heelwright.commandlog.act import Act
from heelwright.commandlog.history import writing
from heelwright.declarations import Power, Role
from heelwright.people.team import open_practice
from heelwright.tenancy.models import Device, Practice, Staff
from heelwright.tenancy.signin import new_token


@dataclass(frozen=True)
class Founder:
    name: str
    email: str
    password: str


@transaction.atomic
def found_practice(practice: Practice, founder: Founder, now: datetime) -> Device:
    """Save a new practice and its owner; returns the owner's console, a device that nobody signs in
    on."""
    practice.save()
    with writing(now, pk=practice.pk) as locked:
        return _found(locked, founder, now)


def _found(practice: Practice, founder: Founder, now: datetime) -> Device:
    owner = Staff(
        practice=practice, name=founder.name, email=founder.email.lower(), role=Role.OWNER
    )
    owner.set_password(founder.password)
    owner.save()
    _, digest = new_token()
    console = Device.objects.create(
        practice=practice,
        staff=owner,
        name="server console",
        token_digest=digest,
        enrolled_at=now,
    )
    act = Act(practice, owner, console, Power.PERMISSION, made_at=now, now=now)
    act.announce(practice)
    act.announce(owner)
    open_practice(act, owner)
    return console
