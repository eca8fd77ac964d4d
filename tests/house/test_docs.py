"""The docs and the code agree: targets, commands, settings, links, decisions."""

import re
from pathlib import Path

from django.core.management import get_commands

from tests.house import docs_rules
from tests.house.faults import ROOT, listed
from tests.house.tracked_files import tracked

README = (ROOT / "README.md").read_text()
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text()
TARGETS = docs_rules.make_targets((ROOT / "Makefile").read_text())
DECISIONS = sorted((ROOT / "docs" / "decisions").glob("*.md"))


def pages() -> list[Path]:
    return [path for path in tracked() if path.suffix == ".md"]


def test_developers_page_lists_every_make_target() -> None:
    assert {"setup", "demo", "test", "check", "long", "bench"} <= TARGETS
    listed_targets = set(re.findall(r"^\| `make ([a-z]+)` \|", DEVELOPERS, re.MULTILINE))
    assert listed_targets == TARGETS


def test_every_make_target_named_in_a_page_exists() -> None:
    for page in pages():
        text = (ROOT / page).read_text()
        assert docs_rules.commands_named(text, docs_rules.MADE) <= TARGETS, page


def test_every_heelwright_command_named_in_a_page_exists() -> None:
    known = set(get_commands())
    for page in pages():
        text = (ROOT / page).read_text()
        assert docs_rules.commands_named(text, docs_rules.RUN) <= known, page


def test_the_readme_has_the_two_commands_and_a_picture_before_its_first_heading() -> None:
    assert {"demo", "test"} <= docs_rules.commands_named(README, docs_rules.MADE)
    assert "![" in README.split("\n## ")[0]


def test_every_setting_is_explained() -> None:
    sources = [*(ROOT / "backend").rglob("*.py"), ROOT / "Makefile"]
    read = {name for path in sources for name in docs_rules.settings_named(path.read_text())}
    assert "HEELWRIGHT_DATABASE_URL" in read
    explained = DEVELOPERS + (ROOT / "docs" / "operations.md").read_text()
    assert read <= docs_rules.settings_named(explained)


def test_no_page_links_to_what_is_not_there() -> None:
    faults = [
        fault
        for page in pages()
        for fault in docs_rules.dead_links(page, (ROOT / page).read_text())
    ]
    assert not faults, listed(faults)


def test_decisions_are_numbered_once_and_have_their_three_parts() -> None:
    assert DECISIONS
    names = [path.name for path in DECISIONS]
    assert all(re.fullmatch(r"\d{4}-[a-z0-9-]+\.md", name) for name in names), names
    numbers = [name[:4] for name in names]
    assert len(numbers) == len(set(numbers)), names
    faults = [
        fault
        for path in DECISIONS
        for fault in docs_rules.missing_parts(path.relative_to(ROOT), path.read_text())
    ]
    assert not faults, listed(faults)


def test_the_changelog_has_a_place_for_what_comes_next() -> None:
    assert "## Unreleased" in (ROOT / "docs" / "CHANGELOG.md").read_text()


def test_the_checks_find_what_they_are_for(tmp_path: Path) -> None:
    assert docs_rules.make_targets("setup: x ## words\nhidden: x\n") == {"setup"}
    page = "make sure to run `make demo` and\n```\nheelwright rotate\n```\n"
    assert docs_rules.commands_named(page, docs_rules.MADE) == {"demo"}
    assert docs_rules.commands_named(page, docs_rules.RUN) == {"rotate"}
    (tmp_path / "here.md").touch()
    links = "[a](here.md) [b](gone.md) [c](https://example.org) [d](here.md#part)"
    assert len(list(docs_rules.dead_links(Path("x.md"), links, tmp_path))) == 1
    assert len(list(docs_rules.missing_parts(Path("x.md"), "**Context.** ## Decision"))) == 1
