"""`heelwright feed_trim`: forget what was removed long ago."""

from datetime import timedelta
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from heelwright import clock
from heelwright.commandlog.trim import trim
from heelwright.tenancy.models import Practice

SHORTEST = 30


class Command(BaseCommand):
    help = "Forget removed rows, withdrawn scopes and history marks that are older than some days."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--days", type=int, default=180, help="how long to remember them")

    def handle(self, *_: Any, **given: Any) -> None:
        if given["days"] < SHORTEST:
            raise CommandError(f"--days: at least {SHORTEST}; phones may be away that long.")
        now = clock.now()
        before = now - timedelta(days=given["days"])
        practices = Practice.objects.values_list("pk", flat=True)
        gone = sum(trim(practice, before, now) for practice in practices)
        self.stdout.write(f"{gone} rows of the feed's memory forgotten")
