"""No migration may change a sealed column in place: its envelopes open under the old name only.

Common practice, no source. The way to do it: a new field, a command that reads and saves each row,
and only then the old field's removal.
"""

from collections.abc import Iterator
from itertools import chain
from typing import Any

import pytest
from django.db import models
from django.db.migrations import (
    AddField,
    AlterField,
    AlterModelTable,
    CreateModel,
    RenameField,
    RenameModel,
)
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

from heelwright.vault.fields import SealedField


def sealed_columns(state: ProjectState, app: str, model: str) -> dict[str, SealedField[Any, Any]]:
    found = state.models.get((app, model.lower()))
    fields = found.fields if found is not None else {}
    return {name: field for name, field in fields.items() if isinstance(field, SealedField)}


def breaks_seals(operation: Operation, app: str, before: ProjectState) -> bool:
    if isinstance(operation, RenameModel):
        return bool(sealed_columns(before, app, operation.old_name))
    if isinstance(operation, AlterModelTable):
        return bool(sealed_columns(before, app, operation.name))
    if isinstance(operation, RenameField):
        return operation.old_name in sealed_columns(before, app, operation.model_name)
    if isinstance(operation, AlterField):
        was = sealed_columns(before, app, operation.model_name).get(operation.name)
        new = operation.field
        if was is None or not isinstance(new, SealedField):
            return was is not None or isinstance(new, SealedField)
        return was.type is not new.type or was.db_column != new.db_column
    return False


def operations() -> Iterator[tuple[str, str, Operation, ProjectState]]:
    graph = MigrationLoader(None).graph
    state = ProjectState()
    plans = (graph.forwards_plan(leaf) for leaf in graph.leaf_nodes())
    for node in dict.fromkeys(chain.from_iterable(plans)):
        migration = graph.nodes[node]
        for operation in migration.operations:
            yield migration.app_label, migration.name, operation, state
            operation.state_forwards(migration.app_label, state)


def test_no_migration_changes_a_sealed_column_in_place() -> None:
    apps, broken = set(), []
    for app, name, operation, before in operations():
        apps.add(app)
        if breaks_seals(operation, app, before):
            broken.append((app, name, operation.describe()))
    assert "vault" in apps
    assert broken == []


@pytest.mark.parametrize(
    "operation",
    [
        RenameField("Card", "name", "full_name"),
        RenameModel("Card", "Sheet"),
        AlterModelTable("Card", "cards"),
        AlterField("Card", "name", SealedField(dict)),
        AlterField("Card", "plain", SealedField(str)),
    ],
)
def test_the_check_sees_each_way(operation: Operation) -> None:
    state = ProjectState()
    fields: list[tuple[str, models.Field[Any, Any]]] = [
        ("id", models.UUIDField(primary_key=True)),
        ("plain", models.TextField()),
    ]
    CreateModel("Card", [*fields, ("name", SealedField(str))]).state_forwards("trial", state)
    assert breaks_seals(operation, "trial", state)
    harmless = AddField("Card", "more", SealedField(str, null=True))
    assert not breaks_seals(harmless, "trial", state)
    assert not breaks_seals(AlterField("Card", "name", SealedField(str, null=True)), "trial", state)
