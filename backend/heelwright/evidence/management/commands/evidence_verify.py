"""`heelwright evidence_verify`: check every practice's chain and say how far each one goes.

The head that it prints, kept somewhere else, shows later that the chain still contains this point.
"""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from heelwright.evidence.chain import practices, verify


class Command(BaseCommand):
    help = "Check the evidence chain of every practice."

    def handle(self, *_args: Any, **_options: Any) -> None:
        broken = 0
        for practice in practices():
            result = verify(practice)
            head = f"{result.head.number} {result.head.link_hash.hex()}" if result.head else "none"
            self.stdout.write(f"{practice}: {result.links} links, head {head}")
            for fault in result.faults:
                self.stdout.write(f"  link {fault.number}: {fault.code}")
            broken += not result.stands
        if broken:
            raise CommandError(
                f"{broken} chains do not stand. Keep the database as it is and look."
            )
