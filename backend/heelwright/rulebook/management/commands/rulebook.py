"""`heelwright rulebook check|explain|sources`: what the books hold, and what they make of a client.

Reads files and writes text; no database, no keys.
"""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from heelwright.rulebook import Book, BookError, book_for, overlays
from heelwright.rulebook.client_file import FileError, read_client, read_text
from heelwright.rulebook.explain import explained
from heelwright.rulebook.sources import shipped_sources_page


class Command(BaseCommand):
    help = "Check the rulebook or a file of own rules, explain a judgement, or list the sources."

    def add_arguments(self, parser: CommandParser) -> None:
        what = parser.add_subparsers(dest="what", required=True)
        check = what.add_parser("check", help="load every book, or a practice's own rules")
        check.add_argument("file", nargs="?", type=Path, help="YAML text of own rules")
        explain = what.add_parser("explain", help="judge a client on file and say why")
        explain.add_argument("file", type=Path, help="YAML or JSON; see docs/rulebook.md")
        what.add_parser("sources", help="every rule with its source, as Markdown")

    def handle(self, *_args: Any, **options: Any) -> None:
        try:
            self.stdout.write(_answer(options["what"], options.get("file")), ending="")
        except (BookError, FileError) as error:
            raise CommandError(str(error)) from None


def _answer(what: str, file: Path | None) -> str:
    if what == "sources":
        return shipped_sources_page()
    if what == "explain" and file is not None:
        client = read_client(file)
        judgement = client.book.judge(client.answers, client.findings, client.age)
        return explained(client.book, judgement) + "\n"
    own = None if file is None else read_text(file)
    return "".join(
        f"{place or 'base'}: {_described(book_for(place, own))}\n" for place in (None, *overlays())
    )


def _described(book: Book) -> str:
    content = book.content
    questions = sum(len(group.questions) for group in content.groups)
    return (
        f"{len(content.rules)} rules, {questions} questions, {len(content.facts)} facts, "
        f"{len(content.limits)} limits, words in {', '.join(sorted(content.words))}; "
        f"version {book.version}"
    )
