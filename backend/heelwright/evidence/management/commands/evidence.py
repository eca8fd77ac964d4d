"""`heelwright evidence verify [--client ID]`: check the chains and say how far each one goes.

The head that it prints, kept somewhere else, shows later that the chain still contains this point.
"""

from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError, CommandParser

from heelwright.evidence.chain import chains, verify
from heelwright.evidence.rules import Fault

WORDS = {
    "other_chain": "belongs to another chain",
    "number_missing": "a link before it is missing, or the number was changed",
    "previous_differs": "does not follow the link before it",
    "content_differs": "was changed after it was made",
    "key_unknown": "names a signing key that this server does not have",
    "signature_wrong": "was not signed by this server as it stands",
    "head_differs": "is not the end that was noted: links were cut off, or put on",
    "row_unlinked": "a record is there that no link stands for",
    "row_differs": "the record that it stands for was changed since",
    "row_missing": "the record that it stands for is gone",
}


class Command(BaseCommand):
    help = "Check the evidence chains of every practice and every client."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("do", choices=["verify"])
        parser.add_argument("--client", type=UUID, help="check the chain of this client alone")

    def handle(self, *_args: Any, client: UUID | None, **_options: Any) -> None:
        known = chains()
        if client is not None and client not in known:
            raise CommandError("There is no evidence about this client. Check the id.")
        wanted = known if client is None else [client]
        broken = sum(not self._stands(chain) for chain in wanted)
        if broken:
            raise CommandError(
                f"{broken} of {len(wanted)} chains do not stand."
                " Keep the database as it is and look."
            )
        self.stdout.write(
            f"All {len(wanted)} chains stand." if wanted else "There is no evidence to check yet."
        )

    def _stands(self, chain: UUID) -> bool:
        result = verify(chain)
        head = f"{result.head.number} {result.head.link_hash.hex()}" if result.head else "none"
        self.stdout.write(f"{chain}: {result.links} links, head {head}")
        for fault in result.faults:
            self.stdout.write(f"  link {fault.number}: {fault.code}: {_words(fault)}")
        return result.stands


def _words(fault: Fault) -> str:
    return WORDS[fault.code]
