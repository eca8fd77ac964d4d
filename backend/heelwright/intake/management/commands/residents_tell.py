"""`heelwright residents_tell`: tells coordinators how it stands with the residents of their houses.

Run once after an update from a version that did not tell them, and after one of the rulebook. A
migration can't: it can't open what is sealed.
"""

from datetime import datetime
from typing import Any

from django.core.management.base import BaseCommand

from heelwright import clock, vault
from heelwright.commandlog.console import by_console
from heelwright.commandlog.history import writing
from heelwright.commandlog.registry import bring_up_to_date
from heelwright.intake.models import NotReady
from heelwright.people.models import Client
from heelwright.tenancy.models import Practice


class Command(BaseCommand):
    help = "Tell coordinators how it stands with the residents of their houses."

    def handle(self, *_: Any, **__: Any) -> None:
        now = clock.now()
        for practice in Practice.objects.order_by("pk"):
            tell(practice, now)
        self.stdout.write(f"Residents told of: {NotReady.objects.count()}.")


def tell(practice: Practice, now: datetime) -> None:
    """It speaks by the owner's console, the first device of a practice."""
    with writing(now, pk=practice.pk) as locked, vault.unit():
        act = by_console(locked, now)
        for client in Client.objects.filter(practice=locked, merged_into=None).exclude(
            facility=None
        ):
            bring_up_to_date(act, client.pk)
