"""The command that loads every book."""

from io import StringIO

from django.core.management import call_command

from heelwright.rulebook import book_for, overlays


def test_prints_what_each_book_holds() -> None:
    out = StringIO()
    call_command("rulebook_check", stdout=out)
    lines = out.getvalue().splitlines()
    assert [line.split(":")[0] for line in lines] == ["base", *overlays()]
    assert f"{len(book_for(None).content.rules)} rules" in lines[0]
    assert book_for(None).version in lines[0]
