"""Prints what docs/rulebook-sources.md holds: every rule with its source and basis."""

from typing import Any

from django.core.management.base import BaseCommand

from heelwright.rulebook.sources import shipped_sources_page


class Command(BaseCommand):
    help = "Print every rule in words with its source and basis, as Markdown."

    def handle(self, *_args: Any, **_options: Any) -> None:
        self.stdout.write(shipped_sources_page(), ending="")
