"""Loads every book and says what it holds; a book with a fault ends the command."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from heelwright.rulebook import Book, BookError, book_for, overlays


class Command(BaseCommand):
    help = "Load the base rulebook and each overlay, and print what they hold."

    def handle(self, *_args: Any, **_options: Any) -> None:
        for overlay in (None, *overlays()):
            try:
                book = book_for(overlay)
            except BookError as error:
                raise CommandError(str(error)) from None
            self.stdout.write(f"{overlay or 'base'}: {describe(book)}")


def describe(book: Book) -> str:
    content = book.content
    questions = sum(len(group.questions) for group in content.groups)
    languages = ", ".join(sorted(content.words)) or "none"
    return (
        f"{len(content.rules)} rules, {questions} questions, {len(content.facts)} facts, "
        f"{len(content.limits)} limits, words in {languages}; version {book.version}"
    )
