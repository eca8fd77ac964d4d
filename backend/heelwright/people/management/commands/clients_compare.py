"""`heelwright clients_compare`: compares the cards of all clients, once after an update.

Cards from before doubles were looked for have no marks. A migration can't give them any: it can't
open what is sealed.
"""

from datetime import datetime
from typing import Any

from django.core.management.base import BaseCommand

from heelwright import clock, vault
from heelwright.commandlog.console import by_console
from heelwright.commandlog.history import writing
from heelwright.people.likeness import note_likeness
from heelwright.people.models import Client
from heelwright.tenancy.models import Practice


class Command(BaseCommand):
    help = "Compare the cards of all clients, and tell the owners who may have been entered twice."

    def handle(self, *_: Any, **__: Any) -> None:
        now = clock.now()
        practices = list(Practice.objects.order_by("pk"))
        told = sum(compare(practice, now) for practice in practices)
        self.stdout.write(f"practices: {len(practices)}, pairs told of now: {told}")


def compare(practice: Practice, now: datetime) -> int:
    """Marks what has none, and tells of each pair that nobody was told of; returns how many. It
    speaks by the owner's console, the first device of a practice."""
    with writing(now, pk=practice.pk) as locked, vault.unit():
        act = by_console(locked, now)
        for client in Client.objects.filter(practice=locked, merged_into=None).order_by("pk"):
            note_likeness(act, client)
    return len(act.incidents)
