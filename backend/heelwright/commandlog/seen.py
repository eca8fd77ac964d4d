"""Refuses a change by somebody who has not seen the newest of what they change."""

from django.db.models import Model

from heelwright.commandlog import registry
from heelwright.commandlog.act import Act
from heelwright.declarations import About, Refused


def still_as_seen(act: Act, row: Model, seen: int | None, noun: str, field: str) -> None:
    """Raise Refused where another device has changed a row since the version that this one saw, or
    where it saw none."""
    if seen is not None and not act.changed_elsewhere(row, seen):
        return
    kind = registry.kind_of(row)
    raise Refused(
        "changed_elsewhere",
        f"Somebody else has changed this {noun} since.",
        "Sync, look at it, and change it again if it is still needed.",
        field=field,
        about=About(kind.name, row.pk) if kind else None,
    )
