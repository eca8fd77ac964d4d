"""`heelwright vault_rotate`: put every data key under the current key-encrypting key."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from heelwright.vault.configured import wrapper
from heelwright.vault.models import DataKey
from heelwright.vault.rotation import Progress, rotate


class Command(BaseCommand):
    help = "Rewrap every data key under the current key. May be stopped and run again."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--batch", type=int, default=100, help="data keys in one transaction")

    def handle(self, *_args: Any, **options: Any) -> None:
        current = wrapper().current
        progress = Progress()
        for progress in rotate(wrapper(), options["batch"]):
            self.stdout.write(f"{progress.rewrapped} rewrapped so far")
            self.stdout.flush()
        held = DataKey.objects.filter(kek_id=current).count()
        self.stdout.write(f"{progress.rewrapped} rewrapped now; {held} under {current}")
        if progress.failed:
            raise CommandError(
                f"{len(progress.failed)} data keys open with none of the configured keys: "
                "put the missing key back into the key file and run again. Remove no old key."
            )
