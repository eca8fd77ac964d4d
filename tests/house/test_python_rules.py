"""The Python sources keep the house rules, and each rule finds what it is there to find."""

import ast
from pathlib import Path

import pytest

from tests.house import python_rules
from tests.house.faults import ROOT, Fault, listed

SOURCES = ROOT / "backend" / "heelwright"

BROKEN = [
    ("raw_writes", "visits/api.py", "visit.save()"),
    ("raw_writes", "visits/commands.py", "def start(args: Start) -> None: visit.save()"),
    ("raw_writes", "visits/feed.py", "Visit.objects.create(id=1)"),
    ("raw_writes", "people/api.py", "Client.objects.filter(id=1).update(name='x')"),
    ("raw_writes", "people/rows.py", "rows.delete()"),
    ("raw_writes", "intake/feed.py", "Screen.objects.bulk_create(screens)"),
    ("raw_writes", "settings/management/commands/demo.py", "Client.objects.create(id=1)"),
    ("clock_reads", "visits/commands.py", "started_at = timezone.now()"),
    ("clock_reads", "visits/rules.py", "datetime.now(UTC)"),
    ("clock_reads", "visits/rules.py", "datetime.date.today()"),
    ("clock_reads", "visits/models.py", "DateTimeField(default=timezone.now)"),
    ("clock_reads", "visits/models.py", "DateTimeField(auto_now_add=True)"),
    ("words_in_logs", "intake/commands.py", "log.info('screened %s', client.name)"),
    ("words_in_logs", "intake/commands.py", "logger.error('bad %s', args)"),
    ("words_in_logs", "intake/commands.py", "logging.warning(f'bad {args}')"),
    ("words_in_logs", "intake/commands.py", "self._log.warning('bad', extra={'a': answers})"),
    ("live_models_in_migrations", "people/migrations/0002_x.py", "import heelwright.people.models"),
    (
        "live_models_in_migrations",
        "people/migrations/0002_x.py",
        "from heelwright.people.models import Client",
    ),
    (
        "live_models_in_migrations",
        "people/migrations/0002_x.py",
        "from heelwright.people import models",
    ),
    ("live_models_in_migrations", "people/migrations/0002_x.py", "from ..models import Client"),
]

KEPT = [
    ("raw_writes", "visits/commands.py", "def start(act: Act, args: Start) -> None: visit.save()"),
    ("raw_writes", "visits/incidents.py", "def flag(act: Act) -> None: Incident.objects.create()"),
    ("raw_writes", "commandlog/log.py", "Entry.objects.create(id=1)"),
    ("raw_writes", "visits/feed.py", "shapes.update({'visit': 1})"),
    ("clock_reads", "clock.py", "datetime.now(UTC)"),
    ("clock_reads", "visits/commands.py", "at = clock.now()"),
    ("words_in_logs", "sync/push.py", "log.info('pushed %s of %d', device.id, len(commands))"),
    ("words_in_logs", "sync/push.py", "log.exception('push failed', exc_info=error)"),
    ("words_in_logs", "sync/push.py", "results.error(args)"),
    ("live_models_in_migrations", "people/migrations/0002_x.py", "from django.db import models"),
    (
        "live_models_in_migrations",
        "people/migrations/0002_x.py",
        "from heelwright.vault.fields import SealedTextField",
    ),
    (
        "live_models_in_migrations",
        "people/commands.py",
        "from heelwright.people.models import Client",
    ),
]


def found(rule: str, path: str, source: str) -> list[Fault]:
    return list(getattr(python_rules, rule)(Path(path), ast.parse(source)))


@pytest.mark.parametrize(("rule", "path", "source"), BROKEN)
def test_a_rule_finds_what_breaks_it(rule: str, path: str, source: str) -> None:
    assert len(found(rule, path, source)) == 1


@pytest.mark.parametrize(("rule", "path", "source"), KEPT)
def test_a_rule_lets_the_rest_pass(rule: str, path: str, source: str) -> None:
    assert found(rule, path, source) == []


def test_every_rule_is_tried_both_ways() -> None:
    names = {rule.__name__ for rule in python_rules.RULES}
    assert {rule for rule, _, _ in BROKEN} == names
    assert {rule for rule, _, _ in KEPT} == names


def test_every_exemption_is_of_a_file_that_still_needs_it(monkeypatch: pytest.MonkeyPatch) -> None:
    exempt = python_rules.NO_COMMAND
    monkeypatch.setattr(python_rules, "NO_COMMAND", set())
    for path in exempt:
        assert found("raw_writes", str(path), (SOURCES / path).read_text()), path


@pytest.mark.parametrize("rule", python_rules.RULES, ids=lambda rule: rule.__name__)
def test_the_sources_keep_the_rule(rule: python_rules.Rule) -> None:
    modules = sorted(SOURCES.rglob("*.py"))
    assert modules
    faults = [
        fault
        for module in modules
        for fault in rule(module.relative_to(SOURCES), ast.parse(module.read_text()))
    ]
    assert not faults, listed(faults)
