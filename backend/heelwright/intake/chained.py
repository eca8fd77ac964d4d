"""How the records of this area stand in the evidence chain of their client."""

from collections.abc import Iterator
from typing import Any
from uuid import UUID

from django.apps import apps
from django.apps.registry import Apps
from django.db.models.signals import post_save

from heelwright import evidence
from heelwright.evidence.digest import digest_of


def link(row: Any, within: Apps = apps) -> None:
    """Link a row as it was just written, or lies there. The caller has the practice's lock."""
    what, at = row._meta.model_name, row.received_at
    evidence.append(row.client_id, what, row.pk, digest_of(row), at, within)


def _written(instance: Any, **_: Any) -> None:
    link(instance)


def stand_for(model: type[Any]) -> None:
    """Link every row of a model as it is written, and declare how the chains read it again."""
    post_save.connect(_written, sender=model)

    def rows(client: UUID) -> Iterator[tuple[UUID, bytes]]:
        for row in model._default_manager.filter(client=client).iterator(chunk_size=500):
            yield row.pk, digest_of(row)

    def chains() -> Iterator[UUID]:
        yield from model._default_manager.values_list("client", flat=True).distinct()

    evidence.stands_for(model._meta.model_name, evidence.Kind(rows, chains))
