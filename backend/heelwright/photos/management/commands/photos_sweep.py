from typing import Any

from django.core.management.base import BaseCommand

from heelwright import clock
from heelwright.photos.sweep import sweep


class Command(BaseCommand):
    help = "Takes parts of photos away that were begun and never came to an end"

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"{sweep(clock.now())} parts of photos taken away.")
